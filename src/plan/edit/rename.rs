//! A new id, and every reference with it.

use super::census::Census;
use super::error::{EditError, still_whole};
use super::named::Named;
use super::put::put;
use super::record::{apply, map};
use super::value::text_value;
use crate::plan::limits::ID_CHARS;
use crate::plan::words::nearest;

/// Gives something another id, wherever the plan speaks of it by its id. Names, notes, comments, roles, and things of other kinds
/// that are called alike, stay. What a plan makes up from an id (a person's name and looks) comes from the new one.
///
/// # Errors
/// `new` can't be an id or is taken, nothing of this kind has the id `old`, or the brackets don't pair.
pub fn rename(text: &str, kind: Named, old: &str, new: &str) -> Result<String, EditError> {
    let map = map(text)?;
    let census = Census::of(&map.root, text);
    if !is_id(new) {
        return Err(EditError::NotAnId { id: new.to_owned() });
    }
    let (of_kind, named): (Vec<_>, Vec<_>) = {
        let of_kind: Vec<_> = census.own.iter().filter(|own| own.kind == kind).collect();
        let named = of_kind.iter().copied().filter(|own| own.id == old).collect();
        (of_kind, named)
    };
    if named.is_empty() {
        let known = of_kind.iter().map(|own| own.id.as_str());
        let nearest = nearest(old, known).map(str::to_owned);
        return Err(EditError::NoSuchPlace { what: format!("{} `{old}`", kind.noun()), nearest });
    }
    if old == new {
        return Ok(text.to_owned());
    }
    if let Some(by) = taken(&census, kind, new, Some(old)) {
        return Err(EditError::Taken { id: new.to_owned(), by });
    }
    let value = text_value(new);
    let mut changes = Vec::new();
    for own in named {
        match own.written {
            Some(span) => changes.push((span.range(), value.clone())),
            None => changes.extend(put(text, own.record, Some(0), &format!("id: {value}"), false).unwrap_or_default()),
        }
    }
    let meant = |id: &str, reference| id == old && census.meant(reference) == Some(kind);
    let references = census.references.iter().filter(|reference| meant(&reference.id, reference));
    changes.extend(references.map(|reference| (reference.span.range(), value.clone())));
    still_whole(apply(text, changes), new)
}

/// An id that something new of a kind can have: the one wanted, else with a number behind it, `aisle-end-2`. What can't stand in an
/// id becomes `-`.
pub fn free_id(text: &str, kind: Named, wanted: &str) -> String {
    let wanted = as_id(wanted, kind);
    let Ok(map) = map(text) else { return wanted };
    let census = Census::of(&map.root, text);
    if taken(&census, kind, &wanted, None).is_none() {
        return wanted;
    }
    let (stem, width, first) = numbered(&wanted);
    // One of the first that are more than everything that could have them.
    let tries = census.own.len() + census.roles.len() + 8;
    let mut numbers = (first..).take(tries).map(|number| {
        let number = format!("{number:0width$}");
        let room = ID_CHARS.saturating_sub(number.len() + 1);
        format!("{}-{number}", stem.chars().take(room).collect::<String>())
    });
    numbers.find(|id| taken(&census, kind, id, None).is_none()).unwrap_or(wanted)
}

/// Who or what has an id already that something of a kind is to get, in words. `own` is the id that it has now.
fn taken(census: &Census<'_>, kind: Named, id: &str, own: Option<&str>) -> Option<String> {
    let with_article = |noun: &str| format!("a {noun}");
    let is_itself = |other: Named, known: &str| other == kind && own == Some(known);
    for other in kind.kin() {
        let same = census.has(*other, id) && !is_itself(*other, id);
        // Frames become files, and some disks don't tell capital letters from small ones.
        let alike = *other == Named::Frame
            && census.own.iter().any(|frame| {
                frame.kind == Named::Frame
                    && frame.id.to_lowercase() == id.to_lowercase()
                    && !is_itself(Named::Frame, &frame.id)
            });
        if same || alike {
            return Some(with_article(other.noun()));
        }
    }
    let mut bearers = census.roles.iter().filter(|(role, _)| role == id);
    let is_role = match kind {
        // Somebody may be called by a role that is theirs alone.
        Named::Person => bearers.any(|(_, bearer)| own.is_none() || bearer.as_deref() != own),
        Named::Fixture | Named::Photographer => bearers.next().is_some(),
        _ => false,
    };
    let is_word = match kind {
        Named::Person => matches!(id, "guests" | "freely"),
        Named::Photographer | Named::Fixture | Named::Mark => id == "freely",
        _ => false,
    };
    match (is_role, is_word) {
        (true, _) => Some(with_article("role")),
        (_, true) => Some(with_article("word of plans")),
        _ => None,
    }
}

fn is_id(id: &str) -> bool {
    id.starts_with(char::is_alphanumeric)
        && id.chars().all(|c| c.is_alphanumeric() || c == '-' || c == '_')
        && id.chars().count() <= ID_CHARS
}

fn as_id(wanted: &str, kind: Named) -> String {
    let plain: String =
        wanted.trim().chars().map(|c| if c.is_alphanumeric() || c == '_' { c } else { '-' }).take(ID_CHARS).collect();
    let plain = plain.trim_matches(['-', '_']);
    match plain.is_empty() {
        true => kind.noun().rsplit(' ').next().unwrap_or("one").to_owned(),
        false => plain.to_owned(),
    }
}

/// `pear-09` is `pear`, two digits wide, and goes on with 10; `70-200` is no numbered `70`.
fn numbered(id: &str) -> (&str, usize, usize) {
    let split = id.rsplit_once('-').filter(|(stem, number)| {
        stem.ends_with(char::is_alphabetic)
            && (1..=3).contains(&number.len())
            && number.bytes().all(|digit| digit.is_ascii_digit())
    });
    match split.and_then(|(stem, number)| Some((stem, number.len(), number.parse::<usize>().ok()?))) {
        Some((stem, width, number)) => (stem, width, number + 1),
        None => (id, 1, 2),
    }
}
