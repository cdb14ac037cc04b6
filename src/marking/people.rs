//! Who the records belong to: a hundred thousand people, of whom little is held until they are counted.

use super::store::{Place, Store};
use hashbrown::HashTable;
use std::cmp::Ordering;
use std::collections::HashMap;
use std::hash::{BuildHasher, RandomState};
use std::iter::Peekable;

#[derive(Clone, Copy, Debug)]
struct Identity {
    /// The random id of a profile, or the name on paper.
    who: Place,
    /// The name in the newest of their records, and when that was made.
    name: Place,
    made: Place,
}

/// People, by number in the order in which they were met.
#[derive(Debug, Default)]
pub(super) struct People {
    identities: Vec<Identity>,
    texts: Store,
    table: HashTable<u32>,
    hasher: RandomState,
}

impl People {
    /// The number of somebody, who is added if they are new; the name in their newest record is kept.
    pub(super) fn meet(&mut self, who: &str, name: &str, made: &str) -> u32 {
        let hash = self.hasher.hash_one(who.as_bytes());
        let (identities, texts, hasher) = (&self.identities, &self.texts, &self.hasher);
        let of = |number: &u32| identities.get(*number as usize).map_or(&b""[..], |one| texts.get(one.who));
        let found = self.table.find(hash, |number| of(number) == who.as_bytes()).copied();
        if let Some(number) = found {
            self.rename(number, name, made);
            return number;
        }
        let number = identities.len() as u32;
        self.table.insert_unique(hash, number, |number| hasher.hash_one(of(number)));
        let texts = &mut self.texts;
        let (who, name, made) = (texts.keep(who.as_bytes()), texts.keep(name.as_bytes()), texts.keep(made.as_bytes()));
        self.identities.push(Identity { who, name, made });
        number
    }

    fn rename(&mut self, number: u32, name: &str, made: &str) {
        if (made, name) > (self.made(number), self.name(number)) {
            let (name, made) = (self.texts.keep(name.as_bytes()), self.texts.keep(made.as_bytes()));
            if let Some(one) = self.identities.get_mut(number as usize) {
                (one.name, one.made) = (name, made);
            }
        }
    }

    /// How many there are.
    pub(super) fn len(&self) -> usize {
        self.identities.len()
    }

    fn text(&self, number: u32, of: fn(&Identity) -> Place) -> &str {
        self.identities.get(number as usize).map_or("", |one| self.texts.text(of(one)))
    }

    fn who(&self, number: u32) -> &str {
        self.text(number, |one| one.who)
    }

    fn made(&self, number: u32) -> &str {
        self.text(number, |one| one.made)
    }

    /// The name in the newest of their records.
    pub(super) fn name(&self, number: u32) -> &str {
        self.text(number, |one| one.name)
    }

    /// By name, capital letters or not, and then by who they are.
    pub(super) fn order(&self, one: u32, other: u32) -> Ordering {
        let names = (self.name(one), self.name(other));
        natural(names.0, names.1).then_with(|| self.who(one).cmp(self.who(other)))
    }

    /// Whose answers belong to somebody else: those from paper to the person of that name, where exactly one profile
    /// carries it.
    pub(super) fn join_by_name(&mut self) -> HashMap<u32, u32> {
        let numbers = 0..self.identities.len() as u32;
        let mut profiles: HashMap<String, Profiles> = HashMap::new();
        let named: Vec<(u32, String)> = numbers
            .clone()
            .filter_map(|number| Some((number, self.who(number).strip_prefix("name ")?.to_lowercase())))
            .collect();
        named.iter().for_each(|(_, name)| _ = profiles.insert(name.clone(), Profiles::None));
        if profiles.is_empty() {
            return HashMap::new();
        }
        for number in numbers.filter(|number| self.who(*number).starts_with("id ")) {
            if let Some(carriers) = profiles.get_mut(&self.name(number).to_lowercase()) {
                *carriers = if *carriers == Profiles::None { Profiles::One(number) } else { Profiles::Several };
            }
        }
        let mut joined = HashMap::new();
        for (number, name) in named {
            if let Some(Profiles::One(profile)) = profiles.get(&name) {
                let (name, made) = (self.name(number).to_owned(), self.made(number).to_owned());
                self.rename(*profile, &name, &made);
                joined.insert(number, *profile);
            }
        }
        joined
    }
}

/// Names as people sort them: capital letters or not, and digits by the number they write, so that `Crew 2` comes
/// before `Crew 10`.
fn natural(one: &str, other: &str) -> Ordering {
    let letters = |text: &str| text.chars().flat_map(char::to_lowercase).collect::<String>();
    if one.is_ascii() && other.is_ascii() {
        let lower = |letter: char| letter.to_ascii_lowercase();
        return in_order(one.chars().map(lower).peekable(), other.chars().map(lower).peekable());
    }
    in_order(letters(one).chars().peekable(), letters(other).chars().peekable())
}

fn in_order<L: Iterator<Item = char>>(mut one: Peekable<L>, mut other: Peekable<L>) -> Ordering {
    let is_digit = |letter: &char| letter.is_ascii_digit();
    loop {
        if one.peek().is_some_and(is_digit) && other.peek().is_some_and(is_digit) {
            while one.next_if_eq(&'0').is_some() {}
            while other.next_if_eq(&'0').is_some() {}
            let mut digits = Ordering::Equal;
            let longer = loop {
                match (one.next_if(is_digit), other.next_if(is_digit)) {
                    (Some(digit), Some(against)) => digits = digits.then(digit.cmp(&against)),
                    (more, less) => break more.is_some().cmp(&less.is_some()),
                }
            };
            match longer.then(digits) {
                Ordering::Equal => continue,
                unequal => return unequal,
            }
        }
        match (one.next(), other.next()) {
            (None, None) => return Ordering::Equal,
            (letter, against) if letter == against => {}
            (letter, against) => return letter.cmp(&against),
        }
    }
}

/// The profiles that carry a name.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Profiles {
    None,
    One(u32),
    Several,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_newest_record_gives_the_name_and_names_give_the_order() {
        let mut people = People::default();
        let ada = people.meet("id 1", "Ada", "2026-05-01T08:00:00Z");
        let bo = people.meet("id 2", "bo", "");
        assert_eq!(people.meet("id 1", "Ada L", "2026-05-02T08:00:00Z"), ada);
        assert_eq!(people.meet("id 1", "Zoe", "2026-04-02T08:00:00Z"), ada);
        assert_eq!((people.name(ada), people.name(bo), people.len()), ("Ada L", "bo", 2));
        let eve = people.meet("name ÉVE", "ÉVE", "");
        let other = people.meet("id 3", "Bo", "");
        let mut order = [eve, other, bo, ada];
        order.sort_by(|one, other| people.order(*one, *other));
        assert_eq!(order, [ada, bo, other, eve]);
    }

    #[test]
    fn numbers_in_names_are_in_the_order_of_numbers() {
        let sorted = |mut names: Vec<&'static str>| {
            names.sort_by(|one, other| natural(one, other));
            names
        };
        let crew =
            vec!["Crew", "crew 1", "Crew 2 b", "Crew 02 c", "crew 10", "Crew 10 a", "Crew a", "Crew É 3", "crew é 20"];
        assert_eq!(sorted(crew.iter().rev().copied().collect()), crew);
        // Longer than any number a machine holds.
        let long = vec!["9", "99999999999999999999998", "99999999999999999999999", "100000000000000000000000"];
        assert_eq!(sorted(long.iter().rev().copied().collect()), long);
    }

    #[test]
    fn paper_belongs_to_the_one_profile_of_that_name() {
        let mut people = People::default();
        let ada = people.meet("id 1", "Ada", "2026-05-01T08:00:00Z");
        let paper = people.meet("name ada", "ada", "");
        people.meet("id 2", "Bo", "");
        people.meet("id 3", "bo", "");
        people.meet("name Bo", "Bo", "");
        people.meet("name Cy", "Cy", "");
        assert_eq!(people.join_by_name(), HashMap::from([(paper, ada)]), "two are called Bo, and nobody Cy");
        assert_eq!(people.name(ada), "Ada");
    }
}
