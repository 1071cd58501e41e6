//! Hazards that the steps of work bring and nothing warns of: the mechanic would meet them without a caution.

use super::words::clauses;
use super::{Findings, works};
use crate::trees::declared::Declared;
use crate::trees::faults::code;

/// Something dangerous that a step can do, and the words by which a hazard's name, title or caution warns of it.
struct Danger {
    /// Its name in exceptions.
    name: &'static str,
    words: &'static str,
    phrases: &'static [&'static str],
    warned_by: &'static [&'static str],
}

const DANGERS: [Danger; 7] = [
    Danger {
        name: "spray",
        words: "sprays or mists",
        phrases: &[
            "spray|sprays|spraying|sprayed !pattern|nozzle|bar",
            "^ mist",
            "misting|misted",
            "water mist",
            "mist of",
        ],
        warned_by: &["spray|sprays|spraying|mist|misting|water"],
    },
    Danger {
        name: "heat",
        words: "heats parts",
        phrases: &[
            "heat-gun|hair-dryer|hair-drier|heat-lamp",
            "heat gun|lamp",
            "hair dryer|drier",
            "hot-air gun|blower",
            "hot air",
        ],
        warned_by: &["heat|heats|heated|heating"],
    },
    Danger {
        name: "charge",
        words: "charges a battery",
        phrases: &[
            "charger|recharge|recharging|recharged",
            "charge|charges ~ battery|batteries|cell|cells",
            "^ charge !air|pressure|time",
            "on charge",
            "charging !current|voltage|system|circuit|light|rate|lead",
        ],
        warned_by: &["charge|charging|charger|batteries", "battery !master|switch"],
    },
    Danger {
        name: "battery",
        words: "works at a battery",
        phrases: &[
            "disconnect|connect|remove|refit|replace|clean|undo|tighten|load-test|lift ~ battery|batteries !master|switch|voltage|bus|relay|contactor|cover|box|lid|feed",
            "battery terminal|terminals|post|posts|clamp|clamps|acid|cap|caps|fluid|lug|lugs",
            "across|at|on ~ battery|batteries !master|switch|voltage|bus|relay|contactor|power",
        ],
        warned_by: &["batteries|acid", "battery !master|switch"],
    },
    Danger {
        name: "ladder",
        words: "works from a ladder",
        phrases: &[
            "ladder|ladders|step-ladder|stepladder|trestle",
            "step|work|maintenance stand|stands|platform",
            "^ climb on|onto|up",
            "stand|standing on !it|this|that|its",
        ],
        warned_by: &["ladder|ladders|stepladder|fall|falls|platform"],
    },
    Danger {
        name: "fuel",
        words: "opens fuel lines",
        phrases: &[
            "open|opens|opening|disconnect|disconnecting|undo|loosen|crack|cap|remove|take|drain|draining ~ fuel !flow|valve|cock|selector|pump|cap",
            "fuel line|lines|hose|hoses|pipe|pipes off|open|opened|disconnected|undone",
            "disconnect|undo|loosen|crack|remove|take ~ injector|nozzle line|lines|off",
        ],
        warned_by: &["fuel !off"],
    },
    Danger {
        name: "air",
        words: "works with compressed air",
        phrases: &["compressed air", "shop air", "air line|hose|gun", "^ blow ~ out|off|dry|clean"],
        warned_by: &["air|pressure"],
    },
];

pub(super) fn look(declared: &Declared, found: &mut Findings) {
    for (name, at, work) in works(declared) {
        let brought = work.brings(declared);
        let hazards: Vec<_> = brought.iter().filter_map(|hazard| declared.hazards.get(hazard)).collect();
        for danger in &DANGERS {
            let warned = hazards.iter().any(|hazard| {
                let words =
                    format!("{}. {}. {}", hazard.name.replace('-', " "), hazard.twin.title, hazard.twin.caution);
                clauses(&words).iter().any(|clause| clause.speaks_of(danger.warned_by))
            });
            let said = |step: &String| clauses(step).iter().find_map(|clause| clause.says(danger.phrases));
            let Some((i, said)) = work.steps.iter().enumerate().find_map(|(i, step)| Some((i, said(step)?))) else {
                continue;
            };
            if !warned {
                found.add(
                    code::HAZARD_MISSING,
                    [name, danger.name],
                    at(&format!("steps/{i}")),
                    format!(
                        "\"{name}\" {} (\"{said}\"), and no hazard that comes with it warns of that.",
                        danger.words
                    ),
                    "Add one to hazards:, or name under touches: the part that brings it.",
                );
            }
        }
    }
}
