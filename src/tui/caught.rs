//! Work whose panic must not end the program: a fault of ours in a thread that only works something out.
//!
//! Owns how such a panic is caught, and that the panic hook stays silent for it: the screen goes on. Must not know what is worked out.

use std::any::Any;
use std::cell::RefCell;
use std::panic::{AssertUnwindSafe, PanicHookInfo, catch_unwind};

thread_local! {
    /// What a panic of this thread said, while it is at such work.
    static SAID: RefCell<Option<String>> = const { RefCell::new(None) };
}

/// Does the work; where it panics, what the panic said and where.
///
/// What the work shares with others has to be whole whenever it may panic: values that are set once, as a job's are, stay unset.
pub(super) fn caught<T>(work: impl FnOnce() -> T) -> Result<T, String> {
    SAID.set(Some(String::new()));
    let done = catch_unwind(AssertUnwindSafe(work));
    let said = SAID.take().filter(|said| !said.is_empty());
    done.map_err(|payload| said.unwrap_or_else(|| words(payload.as_ref())))
}

/// For the panic hook: takes note of a panic that is going to be caught. Whether it is one.
pub(super) fn takes(info: &PanicHookInfo<'_>) -> bool {
    let caught = SAID.with_borrow(Option::is_some);
    if caught {
        let at = info.location().map(|at| format!(" ({}:{})", at.file(), at.line())).unwrap_or_default();
        SAID.set(Some(format!("{}{at}", words(info.payload()))));
    }
    caught
}

/// What a panic was given to say.
fn words(payload: &(dyn Any + Send)) -> String {
    let text = payload.downcast_ref::<&str>().map(|s| (*s).to_owned());
    text.or_else(|| payload.downcast_ref::<String>().cloned()).unwrap_or_else(|| "no reason given".to_owned())
}
