"""What goes into the caliper: pads, their pins and clips, and what the slides take."""

from collections.abc import Iterator

from bomcheck.parts.demand import Demand
from bomcheck.parts.needs import Assembly, needs
from bomcheck.parts.stating import known, only_ask, state

PLACE = "pads in the caliper"
PINS = 2  # of one fixed caliper, each with its clip: common practice, no source
SLIDE_CLIPS = 4  # of one sliding caliper, at both ends of both pads: common practice, no source
GREASE = 5.0  # g for the pins of one sliding caliper: common practice, no source


@needs
def pad_set(assembly: Assembly) -> Iterator[Demand]:
    """Four pads for the axle: one set, even where one corner is converted."""
    spec = known({"compound": assembly.get("pad_compound"), "shape": assembly.get("caliper_pad_shape")})
    yield state(
        assembly, "pad set", 1, "caliper_pad_shape", per="axle", unit="set", spec=spec, said="pad set of 4 pads",
        reason="new pads on a new rotor, the same on both sides", used_at=PLACE,
    )  # fmt: skip


@needs
def pins_and_clips(assembly: Assembly) -> Iterator[Demand]:
    """Pins and their clips in a fixed caliper, spring clips in a sliding one; clips are used once."""
    build = assembly.get("caliper_build")
    if build is None:
        yield from only_ask(assembly, "pad clip", "caliper_build", used_at=PLACE)
        return
    if build == "fixed":
        yield Demand("pad pin", PINS, reason="hold the pads in the caliper", used_at=PLACE)
    count, said = (PINS, "clip of a pad pin") if build == "fixed" else (SLIDE_CLIPS, "spring clip under a pad's end")
    yield Demand("pad clip", count, one_time=True, said=said, reason="clips are used once", used_at=PLACE)


@needs
def slides(assembly: Assembly) -> Iterator[Demand]:
    """The pins of a sliding caliper are greased."""
    if assembly.get("caliper_build") == "sliding":
        said = "brake grease for the caliper's slide pins"
        reason = "the caliper slides freely"
        yield Demand(
            "grease", GREASE, unit="g", one_time=True, spec={"use": "brake"}, said=said, reason=reason, used_at=PLACE
        )
