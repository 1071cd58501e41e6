//! What is still written in an older form: it is read, and the line says what to write instead.

use super::Findings;
use crate::trees::declared::Declared;
use crate::trees::faults::code;

pub(super) fn look(declared: &Declared, found: &mut Findings) {
    for decl in &declared.causes.items {
        let Some(wakes) = decl.twin.wakes.as_ref().filter(|wakes| wakes.base.is_some()) else { continue };
        let source = wakes.source.as_ref().map_or("placeholder", |cite| cite.name.as_str());
        found.add(
            code::OLD_WAKES,
            [decl.name.as_str()],
            decl.at("wakes"),
            format!(
                "\"{}\" says how it wakes by a base and what conditions add. It is read as weights of triggers.",
                decl.name
            ),
            &format!("Write what it is read as, or better figures: wakes: {}, source: {source}}}", wakes.written()),
        );
    }
}
