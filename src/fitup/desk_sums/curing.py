"""Sums of what cures: a cure at the shop's temperature, the clocks of a primer and of a sealant class."""

from __future__ import annotations

from fitup.desk_sums.answer import Sum, answer, caution_lines
from fitup.model.amounts import clean, counted, number
from fitup.model.plan import Law
from fitup.trade import clocks, coatings
from fitup.trade.mistake import Mistake

_LAWS: tuple[Law, ...] = ("none", "double-18F")


def cure(hours: float, celsius: float = clocks.NOMINAL_CELSIUS, law: str = "none") -> Sum:
    """Return how long nominal hours of cure take at a temperature, under the law that is asked for."""
    named = _law(law)
    if hours < 0:
        raise Mistake(f"--hours {number(hours)} is below 0; write the hours of the product's own sheet")
    factor = clocks.factor(celsius, named)
    life = clocks.life_hours(hours, celsius, named)
    data: dict[str, object] = {
        "hours": round(hours * factor, 6),
        "factor": round(factor, 6),
        "celsius": celsius,
        "application_life_hours": round(life, 6),
    }
    said = [f"{number(hours * factor)} h at {number(celsius)} C ({number(clocks.fahrenheit_of(celsius))} F)"]
    if named == "none":
        said.append("no law was named, so temperature changes nothing: take the hours from the product's own sheet")
    else:
        said.append(f"as an application life it would be {number(life)} h: cold never lengthens one")
    source = clocks.LAW_SOURCES[named]
    return answer(data, said, source, "seen" if named != "none" else "own")


def primer(
    product: str = "MIL-PRF-23377", age: float | None = None, celsius: float | None = None, coats: int = 1
) -> Sum:
    """Tell the clocks of a primer: standing after mixing, recoating at an `age` in hours, priming after scuffing.

    `celsius` where standing depends on the temperature; `coats` for the film. Raises `Mistake` for
    a primer that no source tells of.
    """
    name = product.strip().upper()
    if name not in coatings.primers():
        known = " and ".join(coatings.primers())
        raise Mistake(f"no source tells of the primer {clean(product)[:30]!r}, only of {known}; go by its own sheet")
    if age is not None and age < 0:
        raise Mistake(f"--age {number(age)} is below 0; write how many hours ago the coat went on")
    if coats < 1:
        raise Mistake(f"--coats {coats} is below 1; write how many coats go on")
    data: dict[str, object] = {"product": name}
    stands = coatings.induction(name, None if celsius is None else clocks.fahrenheit_of(celsius))
    said = _mixing(name, celsius, stands, data)
    found = coatings.recoat(age or 0, name)
    _recoating(name, age, found, data, said)
    scuffed = coatings.prime_within(name)
    if scuffed is not None:
        data["prime_within_hours"] = float(scuffed[0])
        said.append(f"prime within {number(float(scuffed[0]))} h of scuffing or conversion coating ({scuffed[1]})")
    film = coatings.film(coats, name)
    if film is not None:
        data["film_inches"] = [float(film.low), float(film.high)]
        thick = f"{float(film.low):.4f} to {float(film.high):.4f} in"
        said.append(f"{counted(coats, 'coat')} should dry to {thick} ({film.source})")
    said.append("the product's own sheet decides, and may differ")
    said += caution_lines("prime", "scuff")
    for told in (found, stands):
        if told is not None:
            return answer(data, said, told.source)
    return answer(data, said, "the product's own sheet", "own")


def sealant(sealant_class: str, celsius: float = clocks.NOMINAL_CELSIUS, law: str = "none") -> Sum:
    """Tell how long a sealant class may be worked, at a temperature and under the law that is asked for.

    Raises `Mistake` for a class that no source tells of.
    """
    found, named = coatings.sealant(sealant_class), _law(law)
    life = clocks.life_hours(float(found.application), celsius, named)
    data: dict[str, object] = {
        "class": found.name,
        "application_hours": float(found.application),
        "life_hours": round(life, 6),
        "assembly_hours": None if found.assembly is None else float(found.assembly),
        "celsius": celsius,
    }
    said = [f"{found.name}: to be applied within {number(float(found.application))} h of mixing, at 77 F (25 C)"]
    if named != "none":
        said.append(
            f"at {number(celsius)} C within {number(life)} h; cold never lengthens it ({clocks.LAW_SOURCES[named]})"
        )
    if found.assembly is not None:
        said.append(f"and the parts fastened within {number(float(found.assembly))} h")
    coldest, by = coatings.coldest_metal()
    cold = clocks.fahrenheit_of(celsius) < float(coldest)
    data["too_cold"] = cold
    said.append(f"{'! too cold: ' if cold else ''}metal at least {number(float(coldest))} F when it goes on ({by})")
    days, told = coatings.full_cure()
    data["full_cure_days"] = float(days)
    said.append(f"may take up to {number(float(days))} days to cure fully ({told})")
    said.append("no source tells when a class is tack-free: take that from the product's own sheet")
    return answer(data, [*said, *caution_lines("seal")], found.source)


def _law(law: str) -> Law:
    if law not in _LAWS:
        raise Mistake(f"there is no cure law {clean(law)[:20]!r}; write {' or '.join(_LAWS)}")
    return "double-18F" if law == "double-18F" else "none"


def _mixing(name: str, celsius: float | None, stands: coatings.Span | None, data: dict[str, object]) -> list[str]:
    """Say how long a mixed primer stands before use, and how much to mix at once."""
    said = []
    if stands is None:
        need = "it depends on how warm the shop is" if celsius is None else "take it from its own sheet"
        said.append(f"no source tells how long {name} stands after mixing{_at(celsius)}: {need}")
    else:
        data["induction_hours"] = [float(stands.low), float(stands.high)]
        low, high = number(float(stands.low)), number(float(stands.high))
        span = low if low == high else f"{low} to {high}"
        at = "" if coatings.induction(name) is not None else _at(celsius)
        said.append(f"let it stand {span} h after mixing{at} ({stands.source})")
    mixed = coatings.most_mixed(name)
    if mixed is not None:
        data["most_mixed_hours"] = float(mixed[0])
        said.append(f"mix no more than goes on in {number(float(mixed[0]))} h ({mixed[1]})")
    return said


def _recoating(
    name: str, age: float | None, found: coatings.Recoat | None, data: dict[str, object], said: list[str]
) -> None:
    """Say what a coat of this age needs before the next one."""
    tie = coatings.tiecoat(name)
    if found is None:
        said.append(f"no source tells when {name} may be coated again: take it from its own sheet")
    else:
        data["recoat_hours"] = [float(found.dry), float(found.free), float(found.reactivate)]
        dry, free, wiped = (number(float(hours)) for hours in (found.dry, found.free, found.reactivate))
        said.append(f"at 75 F dry after {dry} h; coat again as it is by {free} h, wiped or scuffed by {wiped} h")
    if found is not None and age is not None:
        data |= {"stage": found.stage, "says": found.says}
        said.insert(0, f"{number(age)} h old at 75 F (24 C): {found.says}")
    if tie is not None:
        data["tie_coat_hours"] = [float(tie.low), float(tie.high)]
        said.append(f"a tie coat may go on from {number(float(tie.low))} to {number(float(tie.high))} h ({tie.source})")


def _at(celsius: float | None) -> str:
    return "" if celsius is None else f" at {number(celsius)} C"
