//! The name that was probably meant.

/// The candidate nearest to what was typed, when it is near enough to be a slip of the finger.
pub fn nearest<'a>(typed: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    // A long text is no slip of a name, and the distance costs the product of both lengths.
    if typed.len() > 60 {
        return None;
    }
    let typed = typed.to_lowercase();
    candidates
        .into_iter()
        .map(|candidate| (strsim::osa_distance(&typed, &candidate.to_lowercase()), candidate))
        .filter(|(distance, candidate)| *distance <= allowed(&typed, candidate))
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, candidate)| candidate)
}

/// How many slips are forgiven: one in three characters, at most three.
fn allowed(typed: &str, candidate: &str) -> usize {
    (typed.chars().count().max(candidate.chars().count()) / 3).min(3)
}

/// A help line: the near name if there is one, else the names there are.
pub fn offer<'a>(typed: &str, candidates: impl IntoIterator<Item = &'a str> + Clone) -> Option<String> {
    if let Some(near) = nearest(typed, candidates.clone()) {
        return Some(format!("write `{near}`"));
    }
    let mut names: Vec<String> = candidates.into_iter().map(|name| format!("`{name}`")).collect();
    let more = names.len().saturating_sub(12);
    names.truncate(12);
    if names.is_empty() {
        return None;
    }
    let rest = if more > 0 { format!(" and {more} more") } else { String::new() };
    Some(format!("there is {}{rest}", names.join(", ")))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slip_is_offered_and_another_word_is_not() {
        let names = ["title", "summary", "minutes"];
        assert_eq!(nearest("tilte", names), Some("title"));
        assert_eq!(nearest("Sumary", names), Some("summary"));
        assert_eq!(nearest("answer", names), None);
        assert_eq!(offer("tilte", names).as_deref(), Some("write `title`"));
        assert_eq!(offer("zzz", names).as_deref(), Some("there is `title`, `summary`, `minutes`"));
    }
}
