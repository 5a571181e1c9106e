"""A made yard: a curved setting of soft brick on old ground, a rectangular cut through it, and a socket with a void."""

from __future__ import annotations

from baulk.record import Context, Element, Entity, Find, Relation, SiteRecord

BASE: dict[str, Entity] = {
    "s": Context(
        id="s",
        number="9",
        kind="structure",
        courses=1,
        bonding_agent="none (dry)",
        wear="worn",
        absences={"construction_cut": "not visible"},
    ),
    "bed": Context(id="bed", number="10", kind="deposit", deposit_type="floor make-up", title="Bedding sand"),
    "old": Context(
        id="old",
        number="18",
        kind="deposit",
        deposit_type="old ground",
        colour_moist="10YR 3/2",
        texture="loam",
        boundary="gradual",
        description="Dark loam, trodden on top.",
        inclusions="occasional glass drips, rare brick",
    ),
    "top": Context(
        id="top",
        number="8",
        kind="deposit",
        deposit_type="levelling",
        texture="loam",
        colour_moist="10YR 4/3",
        boundary="clear",
        description="Brown loam mixed with lumps of silt, tip lines from the east.",
        inclusions="moderate mortar flecks",
    ),
    "cut": Context(
        id="cut",
        number="14",
        kind="cut",
        plan_shape="rectangular",
        length=1.05,
        width=0.64,
        orientation=88.0,
        base_shape="not reached",
    ),
    "fill": Context(
        id="fill",
        number="15",
        kind="fill",
        fill_of="cut",
        description="Yellow silt and loam in lumps.",
        colour_moist="10YR 5/4",
        texture="silt loam",
        inclusions="rare nails",
        deliberate="deliberate",
        formation="dumped",
        dug=0.0,
    ),
    "hole": Context(id="hole", number="21", kind="cut", plan_shape="circular", base_shape="tapered point", length=0.34, width=0.34),
    "rot": Context(
        id="rot", number="22", kind="fill", fill_of="hole", description="Dark loam with voids and bark.", formation="accumulated"
    ),
    "f1": Find(id="f1", number="1", context="old", material="glass", begin=1740),
    "f2": Find(id="f2", number="2", context="old", material="ceramic", begin=1762),
    **{
        f"r{place}": Relation(id=f"r{place}", later=later, earlier=earlier, how=how)
        for place, (later, how, earlier) in enumerate(
            [
                ("s", "overlies", "bed"),
                ("bed", "overlies", "old"),
                ("top", "overlies", "s"),
                ("cut", "cuts", "s"),
                ("cut", "cuts", "old"),
                ("fill", "fills", "cut"),
                ("hole", "cuts", "old"),
                ("rot", "fills", "hole"),
                ("top", "overlies", "old"),
                ("top", "overlies", "rot"),
                ("top", "overlies", "fill"),
            ]
        )
    },
    **{
        f"p{place}": Element(
            id=f"p{place}",
            number=f"P{place}",
            context="s",
            attitude="on edge",
            mortar="none",
            firing="soft, low-fired",
            wear="worn",
            bearing=40.0 + 8 * place,
        )
        for place in range(8)
    },
}


def yard(
    changed: dict[str, dict[str, object]] | None = None, *, without: tuple[str, ...] = (), more: tuple[Entity, ...] = ()
) -> SiteRecord:
    """Return the yard, with fields of some records changed, some records left out, and more records added."""
    kept = {key: entity for key, entity in BASE.items() if key not in without}
    for key, fields in (changed or {}).items():
        kept[key] = kept[key].model_copy(update=fields)
    return SiteRecord.of([*kept.values(), *more])


def every_piece(**fields: object) -> dict[str, dict[str, object]]:
    """Return the same change for every laid piece."""
    return {f"p{place}": fields for place in range(8)}
