"""The blank job workbook, one module per kind of sheet; `bomcheck.workbook.template` puts them together."""
