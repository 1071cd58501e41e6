//! Steps that turn, crank, start or run the engine in work that says of it another thing: nobody would be warned, and nothing
//! would be closed first.

use super::words::clauses;
use super::{Findings, works};
use crate::model::Mode;
use crate::trees::declared::Declared;
use crate::trees::faults::code;

/// What a step does to the engine.
struct Act {
    /// In a sentence.
    words: &'static str,
    phrases: &'static [&'static str],
    fits: fn(Mode) -> bool,
}

const ACTS: [Act; 5] = [
    Act {
        words: "fly",
        phrases: &["^ fly|climb|descend|take-off !the|a|on|up|down|onto|over|power|speed|rate", "fly the aircraft"],
        fits: |mode| mode == Mode::Flown,
    },
    Act {
        words: "run the engine",
        phrases: &[
            "run|running ~ engine",
            "run|running it at|up|for|on|until|lean|rich|warm|with",
            "^ run|running !a|an|the|your|it|through|along|over|out|down|wire|wires|lead|leads|engine|new|no|,",
            "engine running|idling",
            "engine is|still|kept running|idling",
            "at|to ~ idle|idling !cut-off|cutoff|stop|screw|jet|mixture",
            "let ~ idle",
            "^ idle !cut-off|cutoff|stop|screw|jet|mixture|habits|speed|time",
            "at|to|about # rpm",
            "at|to|about # to # rpm",
            "do|make|repeat|doing|making ~ run-up",
            "^ run-up !drop",
            "at run-up speed|power|rpm",
            "^ taxi",
            "^ shut ~ down",
            "^ stop ~ engine",
        ],
        fits: Mode::runs,
    },
    Act {
        words: "start the engine",
        phrases: &[
            "start|starts|starting|restart|restarts|restarting ~ engine !to",
            "engine starts|started|fires !to",
            "^ start|restart it",
            "^ start|restart up|and|cold|hot|normally",
        ],
        fits: Mode::runs,
    },
    Act {
        words: "crank it with the starter",
        phrases: &[
            "crank|cranks|cranked|cranking !sensor|trigger|wheel|magnet|magnets|end|case|position|flange|gear|speed|voltage|rpm|pickup|angle|signal",
            "on|with|by|use|using|engage|engaging|operate|operating|hit|work|working ~ starter !lead|cable|relay|solenoid|switch|ring|contactor|motor|off",
            "press|hold|push ~ starter !lead|cable|relay|solenoid|ring|contactor|motor|off",
        ],
        fits: |mode| mode >= Mode::Cranked,
    },
    Act {
        words: "turn the propeller",
        phrases: &[
            "turn|turns|turning|rotate|rotates|rotating|swing|swings|swinging|pull|pulls|pulling|move|moving ~ propeller|prop|blade|blades|crankshaft",
            "turn|turns|turning|rotate|rotates|rotating|pull|pulls|pulling ~ engine !off",
            "turn|turns|turning|pull|pulls|pulling ~ propeller|prop|engine|it through",
            "propeller|prop|crankshaft is turned|rotated|pulled|moved",
            "propeller|prop|crankshaft turned|turning|moving",
        ],
        fits: Mode::turns,
    },
];
/// Work that turns a part away from the engine.
const BENCH: &str = "bench|drill|spin|spun|lathe|simulator";

pub(super) fn look(declared: &Declared, found: &mut Findings) {
    for (name, at, work) in works(declared) {
        // The first step that does not fit, by the act that asks the most of the engine, says enough.
        let misfit = ACTS.iter().filter(|act| !(act.fits)(work.engine)).find_map(|act| {
            let said = |step: &String| clauses(step).iter().find_map(|clause| clause.says(act.phrases));
            work.steps.iter().enumerate().find_map(|(i, step)| Some((act, i, said(step)?)))
        });
        let elsewhere = |text: &str| clauses(text).iter().any(|clause| clause.speaks_of(&[BENCH]));
        if elsewhere(&name.replace('-', " ")) || work.steps.iter().any(|step| elsewhere(step)) {
            continue;
        }
        let Some((act, i, said)) = misfit else { continue };
        found.add(
            code::MODE_MISSING,
            [name],
            at(&format!("steps/{i}")),
            format!(
                "\"{name}\" seems to {} (\"{said}\"), and its mode of the engine is {}.",
                act.words,
                work.engine.name()
            ),
            "Name the mode under engine:, or say the step so that it is plain what the engine does.",
        );
    }
}
