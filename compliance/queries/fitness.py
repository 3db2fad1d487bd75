"""Whether the scale that weighs cans here can show this label's tolerance, asked before the first can is opened."""

from __future__ import annotations

from dataclasses import dataclass, replace

from compliance.core.scale_fit import ScaleJob, scale_answer, scale_fit
from compliance.queries.charge_view import ChargeView
from compliance.queries.sheets import Sheet
from inventory.queries import usual_scale
from shop.core.answer import Answer
from shop.core.mass import ZERO
from shop.core.phrase import phrase
from shop.models import Equipment
from shop.queries import in_service


@dataclass(frozen=True, slots=True)
class ScaleNow:
    """The scale asked about, and the answer."""

    scale: Equipment
    answer: Answer


def scale_fitness(sheet: Sheet, view: ChargeView) -> ScaleNow | None:
    """None once a can was weighed, without a tolerance, a can or a scale: then there is nothing to ask."""
    label = sheet.label
    if sheet.cans or label is None or label.tolerance <= ZERO or view.needed is None:
        return None
    shop = sheet.job.establishment
    scales = list(in_service(shop, sheet.job.on, "scale"))
    usual = usual_scale(shop, "can")
    scale = usual if usual in scales else next(iter(scales), None)
    if scale is None:
        return None
    asked = ScaleJob(
        division=scale.division,
        cans=view.needed,
        tolerance=label.tolerance,
        label=label.charge,
        gain=float(sheet.rules.scale_gain_percent) / 100,
        hoses_g=float(sheet.rules.hose_give_or_take_g),
    )
    answer = scale_answer(scale_fit(asked))
    better = next((one for one in scales if scale_fit(replace(asked, division=one.division)).shows), None)
    if not scale_fit(asked).shows and better is not None:
        step = f"{better.division_text} {better.unit}"
        use = phrase("Use {code}: it shows steps of {step}.", code=better.code, step=step)
        answer = replace(answer, says=(use,))
    return ScaleNow(scale, answer)
