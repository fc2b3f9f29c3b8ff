"""Writes all demo workbooks into `demo_workbooks/`."""

from bomcheck.demos import all_demos
from bomcheck.model.shipped import folder

for demo in all_demos():
    print(demo.write(folder("demo_workbooks")))
