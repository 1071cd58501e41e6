//! The engine of a job as a plan: what was at fault where, as data for the drawings of a page.

use serde::Serialize;

use super::account::safe;
use crate::analysis::{Ranked, Standing, weigh};
use crate::model::{Abreast, Side, Site, cylinder_pairs, plugs_above_and_below, stands_in_rows};

/// The engine from above, front up.
#[derive(Debug, Clone, Serialize)]
pub struct EnginePlan {
    /// Whether the places of the cylinders are assumed, because the layout does not give them.
    pub assumed: bool,
    /// What sits at no cylinder and in neither system.
    pub engine: Spot,
    /// Cylinders, two abreast: left and right of the crankcase, front to rear.
    pub rows: Vec<[Option<CylinderSpot>; 2]>,
    /// The left and the right system.
    pub systems: [SystemSpot; 2],
}

/// A place on the plan.
#[derive(Debug, Clone, Serialize)]
pub struct Spot {
    /// The site, as records name it.
    pub at: String,
    /// In words.
    pub title: String,
    /// Probability that something here was at fault.
    pub was: f64,
    /// What is known for certain of a fault here; empty where nothing is.
    #[serde(skip_serializing_if = "str::is_empty")]
    pub mark: &'static str,
}

/// A cylinder with its plugs.
#[derive(Debug, Clone, Serialize)]
pub struct CylinderSpot {
    /// The cylinder itself.
    pub cylinder: Spot,
    /// Plug, lead and tower above.
    pub upper: Spot,
    /// Plug, lead and tower below.
    pub lower: Spot,
}

/// One of the two systems.
#[derive(Debug, Clone, Serialize)]
pub struct SystemSpot {
    /// The system.
    pub system: Spot,
    /// What it is.
    pub kind: &'static str,
    /// Its coils.
    pub coils: Vec<Spot>,
}

/// The plan of a job.
pub(super) fn plan(job: &Ranked) -> EnginePlan {
    let layout = &job.model().layout;
    let cylinder = |site: Option<Site>| match site {
        Some(Site::Cylinder(n)) => {
            let [upper, lower] = plugs_above_and_below(layout, n);
            let fired = |plug: Site, place: &str| {
                let side = plug.side().map(|s| s.to_string()).unwrap_or_default();
                spot(job, plug, &format!("{place} plug, {side}"))
            };
            Some(CylinderSpot {
                cylinder: spot(job, Site::Cylinder(n), &format!("cylinder {n}")),
                upper: fired(upper, "upper"),
                lower: fired(lower, "lower"),
            })
        }
        _ => None,
    };
    let system = |side: Side| {
        let coil = |coil: &crate::model::Coil| {
            let fires = coil.fires.iter().map(u8::to_string).collect::<Vec<_>>().join("+");
            spot(job, Site::Coil(side, coil.letter), &format!("coil {}, fires {fires}", coil.letter))
        };
        SystemSpot {
            system: spot(job, Site::Side(side), &format!("{side} side")),
            kind: layout.side(side).words(),
            coils: layout.side(side).coils.iter().map(coil).collect(),
        }
    };
    EnginePlan {
        assumed: layout.rows.is_none() || !stands_in_rows(layout),
        engine: spot(job, Site::Engine, "engine"),
        rows: cylinder_pairs(layout).into_iter().map(|Abreast { left, right }| [left, right].map(cylinder)).collect(),
        systems: Side::BOTH.map(system),
    }
}

fn spot(job: &Ranked, site: Site, title: &str) -> Spot {
    let causes = weigh::causes_at(job, site);
    let mark = match weigh::standing_of(job, &causes) {
        Some(standing @ (Standing::Proven | Standing::PutRight)) => standing.words(),
        _ => "",
    };
    Spot { at: site.to_string(), title: safe(title), was: weigh::was_any_of(job, &causes), mark }
}

/// Probability in words, as wide as "100 %".
pub(super) fn percent(p: f64) -> String {
    match 100.0 * p {
        p if p < 0.5 => "<1 %".to_owned(),
        p => format!("{p:.0} %"),
    }
}
