//! The letter to the owner: one page of plain sentences, without a figure of likelihood and without the shop's shorthand.

use super::account::{Account, BEFORE_RUN, safe};
use super::course::CorrectionLine;
use super::found::{FoundLine, lower};
use super::when::day;
use crate::job::{Ending, Job};

/// Items named in one sentence before the rest is counted.
const MOST_NAMED: usize = 6;

/// The paragraphs of the letter, in order.
pub(super) fn paragraphs(job: &Job, account: &Account) -> Vec<String> {
    let mut out = vec![came_in(account), found(account), done(account)];
    out.push(believed(job, account));
    out.extend(
        account
            .warnings
            .iter()
            .map(|warning| format!("Please note: {}", warning.replace("nothing yet proves", "nothing has proved"))),
    );
    out.extend(still_open(account));
    out.extend(due(account));
    out.extend(price(job));
    out.push("This letter is no entry in the aircraft's record. The authorised person writes and signs that entry, and decides whether the aircraft goes back to service.".to_owned());
    out
}

fn came_in(account: &Account) -> String {
    let on = if account.opened.is_empty() { String::new() } else { format!(" on {}", day(&account.opened)) };
    let when = account.when_reported();
    let words = account.words.replace('\n', " ");
    let words = match words.trim().trim_end_matches('.') {
        "" => String::new(),
        words => format!(" In the pilot's words: \"{words}\"."),
    };
    format!(
        "The aircraft came in{on} with this complaint: {}{when}.{words}",
        lower(account.complaint.trim_end_matches(", engine"))
    )
}

/// "a, b and c", counted past what one sentence holds.
fn list(items: &[String]) -> String {
    let mut named: Vec<String> = Vec::new();
    items.iter().for_each(|item| {
        if !named.contains(item) {
            named.push(item.clone());
        }
    });
    if named.len() > MOST_NAMED {
        let more = named.len() - MOST_NAMED;
        named.truncate(MOST_NAMED);
        named.push(format!("{more} more, which our report lists"));
    }
    named.join("; ")
}

fn found(account: &Account) -> String {
    let by = |how: &str| account.known.found.iter().filter(|line| line.by == how).map(what).collect::<Vec<_>>();
    let (measured, seen) = (by("measured"), by("seen"));
    match (measured.is_empty(), seen.is_empty()) {
        (true, true) => account.nothing_found().to_owned(),
        (false, true) => format!("By measuring we found: {}.", list(&measured)),
        (true, false) => format!("By looking we found: {}.", list(&seen)),
        (false, false) => format!("By measuring we found: {}. By looking we found: {}.", list(&measured), list(&seen)),
    }
}

fn what(line: &FoundLine) -> String {
    lower(&line.what)
}

fn done(account: &Account) -> String {
    let (over, ours): (Vec<_>, Vec<_>) = account.corrections.iter().partition(|line| line.hands_over());
    let titles = |lines: &[&CorrectionLine]| lines.iter().map(|line| lower(&line.title)).collect::<Vec<_>>();
    let mut out = Vec::new();
    if ours.is_empty() {
        out.push("Nothing was replaced, cleaned or adjusted.".to_owned());
    } else {
        out.push(format!("We did this work: {}.", list(&titles(&ours))));
    }
    let parts: Vec<String> = ours.iter().flat_map(|line| line.parts.iter().cloned()).collect();
    if !parts.is_empty() {
        out.push(format!("Parts and materials for it: {}.", list(&parts)));
    }
    let unseen: Vec<&CorrectionLine> = account.known.replaced_unseen.iter().collect();
    if !unseen.is_empty() && unseen.len() == ours.len() {
        let nobody =
            "Nobody had seen or measured the fault before this work; it was done because the signs pointed there.";
        let said_already = account.known.found.is_empty();
        out.push(if said_already { "It was done because the signs pointed there." } else { nobody }.to_owned());
    } else if !unseen.is_empty() {
        let which = list(&titles(&unseen));
        out.push(format!("Nobody had seen or measured a fault before we did this part of it: {which}. It was done because the signs pointed there."));
    }
    if !over.is_empty() {
        let elsewhere: Vec<String> =
            titles(&over).iter().map(|title| title.trim_start_matches("hand over, ").to_owned()).collect();
        out.push(format!("This lies outside the ignition and was handed over: {}.", list(&elsewhere)));
    }
    out.join(" ")
}

/// Why it is believed cured, or not.
fn believed(job: &Job, account: &Account) -> String {
    let state = job.state();
    let corrected = account.corrections.iter().any(|line| !line.hands_over());
    let come_back =
        "A fault that comes and goes can come back; please tell us at once if it does, and under which conditions.";
    if state.proof_passed() && corrected {
        return format!(
            "The engine was then run, and the complaint did not show. That run is why we believe it cured. {come_back}"
        );
    }
    if state.proof_passed() {
        return format!(
            "The engine was run, and the complaint did not show. As nothing was corrected, we do not know why. {come_back}"
        );
    }
    if state.last_proof().is_some() && !state.awaits_proof() {
        return "The complaint still showed when the engine was last run, so it is not cured.".to_owned();
    }
    match state.ending(job.model()) {
        _ if corrected => {
            "No run has shown yet that the complaint is gone, so we cannot say that it is cured.".to_owned()
        }
        Some(Ending::HandedOver) => {
            let unseen = if account.known.found.is_empty() {
                "The signs point there, though nobody has seen the fault itself. "
            } else {
                ""
            };
            format!("{unseen}The complaint is not cured by our work; whoever it was handed over to carries on.")
        }
        Some(Ending::NotReproduced) => {
            format!(
                "It did not show while the aircraft was here, so we could not find its cause, and it is not cured. {come_back}"
            )
        }
        Some(_) => format!("The complaint is not cured: we did not find its cause. {come_back}"),
        None => "The work is not finished, and the complaint is not cured yet.".to_owned(),
    }
}

fn still_open(account: &Account) -> Vec<String> {
    let mut out = Vec::new();
    for (causes, hurts) in account.known.harms() {
        let causes: Vec<String> = causes.iter().map(|cause| lower(cause)).collect();
        out.push(format!(
            "We did not look for this: {}. It should be looked for, because where it is there, {hurts}.",
            list(&causes)
        ));
    }
    if !account.owed.is_empty() {
        let owed: Vec<String> = account.owed.iter().map(|step| step.replace(BEFORE_RUN, "")).collect();
        out.push(format!("Still to be done before the work is complete: {}.", list(&owed)));
    }
    out
}

fn due(account: &Account) -> Vec<String> {
    let due = account.upkeep.iter().map(|item| whole_engine(item)).collect::<Vec<_>>();
    let due = (!due.is_empty()).then(|| format!("By the aircraft's card these parts are due: {}.", list(&due)));
    let next = account.next_due.as_deref().map(whole_engine);
    let next = next.map(|next| format!("The part that comes due next is this: {next}."));
    due.into_iter().chain(next).collect()
}

/// A part that is due at all its places, as an owner reads it.
fn whole_engine(item: &str) -> String {
    item.replacen(", engine: ", " (all of them): ", 1)
}

/// What it costs by the shop's own prices, where it has some.
fn price(job: &Job) -> Option<String> {
    let (model, state) = (job.model(), job.state());
    let prices = model.prices.as_ref()?;
    let labour = state.minutes / 60.0 * prices.labour;
    let price = |done: &crate::job::Done| {
        let correction = &model[done.correction];
        prices.price_of(correction).parts_of(correction)
    };
    let parts: f64 = state.done.iter().map(price).fold(0.0, |sum, price| sum + price);
    let (money, hours) = (safe(&prices.currency), state.minutes / 60.0);
    let together = if parts > 0.0 {
        format!(", and the parts to about {parts:.0} {money}: together about {:.0} {money}", labour + parts)
    } else {
        String::new()
    };
    let rate = prices.labour;
    Some(format!(
        "By our list the work comes to about {hours:.1} hours at {rate:.2} {money} an hour, that is {labour:.0} {money}{together}. The invoice decides."
    ))
}
