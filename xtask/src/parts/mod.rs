//! Takes the bound core apart: what every page needs, and what only some pages load besides.
//!
//! A phone on a lawn with a weak signal should not fetch the whole trade to time one swath. The core stays one crate
//! and is linked and bound as one module; after that, some of its doors and declarations move into separate parts,
//! with every function and every constant that only they need. A part works in the core's memory, brings its constants
//! there, and fills the slots of the core's function table that were left empty for it; a call from the core into a
//! part goes through such a slot. A function that a few calculators need is copied into each of their parts. A
//! declaration whose part is not loaded would read as zeros: the core asks for none before its part has registered
//! itself (`fitted/mod.rs`).

mod check;
mod cut;
mod graph;
mod links;
pub(crate) mod pack;
mod streams;
#[cfg(test)]
mod tests;

use graph::{Graph, Place, Thing};
use links::{Links, Piece};
use std::collections::{BTreeMap, BTreeSet};
use walrus::{Function, FunctionKind, Module};

/// One part: what moves into it, with all that only this needs.
pub(crate) struct Part {
    /// Its name.
    pub(crate) name: String,
    /// Functions of the core's door, by the name under which they are exported.
    pub(crate) doors: &'static [&'static str],
    /// How the paths of functions and constants inside the core crate (`card::CARD`) begin that are the part's in any
    /// case, though the core refers to them.
    pub(crate) owns: Vec<String>,
    /// Parts that every page which loads this one loads as well.
    pub(crate) over: &'static [&'static str],
    /// Whether it may have its own copy of what a few parts like it need too, instead of every page loading it.
    pub(crate) copies: bool,
}

/// How many parts may have copies of one function; what more of them need stays in the core.
const FEW: usize = 6;

/// The core, and each part in the order of the description.
pub(crate) struct Taken {
    /// What every page loads.
    pub(crate) core: Vec<u8>,
    /// What a page may load besides.
    pub(crate) parts: Vec<Vec<u8>>,
}

/// Takes `bound` apart: the module with its function names, mangled, that was made of `linked`.
///
/// # Errors
/// A module that cannot be read, or that is not the way this compiler, linker and binding make one.
pub(crate) fn take_apart(linked: &[u8], bound: &[u8], parts: &[Part]) -> Result<Taken, String> {
    take_apart_by(&Links::read(linked)?, bound, parts)
}

/// Functions that only find words for a panic; for what says where it is, see [`Links::places`]. Nobody hears them in a
/// browser, where a panic ends in a trap anyway; with them goes how to print a text with its letters escaped, and
/// the tables for it.
const LAST_WORDS: [&str; 17] = [
    "core::panicking::panic_fmt",
    "core::panicking::panic_bounds_check",
    "core::str::slice_error_fail",
    "core::slice::index::slice_index_fail",
    "core::result::unwrap_failed",
    "core::option::expect_failed",
    "core::slice::copy_from_slice_impl::len_mismatch_fail",
    "core::cell::panic_already_borrowed",
    "core::cell::panic_already_mutably_borrowed",
    "core::panicking::panic_const::panic_const_div_by_zero",
    "core::panicking::panic_const::panic_const_div_overflow",
    "core::panicking::panic_const::panic_const_rem_by_zero",
    "core::panicking::panic_const::panic_const_rem_overflow",
    "std::thread::local::panic_access_error",
    "<alloc::vec::Vec<_, _>>::insert_mut::assert_failed",
    "<alloc::vec::Vec<_, _>>::remove::assert_failed",
    "<alloc::vec::Vec<_, _>>::split_off::assert_failed",
];

fn take_apart_by(links: &Links, bound: &[u8], parts: &[Part]) -> Result<Taken, String> {
    let module = parse(bound)?;
    check::check(&module, links)?;
    let mut plan = Plan::new(&module, links, parts)?;
    plan.order(&plan.core(parse(bound)?)?)?;
    Ok(Taken {
        core: plan.core(parse(bound)?)?,
        parts: (0..parts.len()).map(|part| plan.part(parse(bound)?, part)).collect::<Result<_, String>>()?,
    })
}

fn parse(bytes: &[u8]) -> Result<Module, String> {
    let mut config = walrus::ModuleConfig::new();
    config.generate_name_section(false).generate_producers_section(false);
    let mut module = config.parse(bytes).map_err(|why| format!("the bound core cannot be read: {why:#}"))?;
    let silent = module.funcs.iter().filter(|function| is_silent(function));
    for id in silent.map(Function::id).collect::<Vec<_>>() {
        cut::trap(&mut module, id);
    }
    Ok(module)
}

/// Whether a function is one of [`LAST_WORDS`].
fn is_silent(function: &Function) -> bool {
    let name = function.name.as_deref().map(|name| format!("{:#}", rustc_demangle::demangle(name)));
    name.is_some_and(|name| LAST_WORDS.contains(&name.as_str()))
}

struct Plan {
    /// Which parts a function moves to; none, and it is the core's.
    home: Vec<BTreeSet<usize>>,
    /// Functions that a part calls and the core has, in the order in which it has them.
    lent: Vec<Place>,
    /// Functions of parts that are called from elsewhere: the slot through which they are called.
    called: BTreeMap<Place, u32>,
    /// The function table, slot by slot, as the whole would have it.
    slots: BTreeMap<u32, Place>,
    /// Where constants are in memory, from and to, and which part they move to.
    spans: Vec<(u32, u32, Option<usize>)>,
}

impl Plan {
    fn new(module: &Module, links: &Links, parts: &[Part]) -> Result<Plan, String> {
        let graph = Graph::new(module, links)?;
        let exported: BTreeMap<Place, &str> = module
            .exports
            .iter()
            .filter_map(|export| match export.item {
                walrus::ExportItem::Function(id) => Some((graph.places[&id], export.name.as_str())),
                _ => None,
            })
            .collect();
        let door = |name: &str| parts.iter().position(|part| part.doors.contains(&name));
        let pieces = links.pieces.iter().enumerate().map(|(piece, held)| (Thing::Piece(piece), held.name.as_str()));
        let functions = module.funcs.iter().enumerate();
        let functions = functions.filter_map(|(place, held)| Some((Thing::Function(place), held.name.as_deref()?)));
        let owned: BTreeMap<Thing, usize> =
            pieces.chain(functions).filter_map(|(thing, name)| Some((thing, owner(name, parts)?))).collect();

        // What is in the table and nothing is known to refer to is called from outside the module.
        let unknown =
            graph.slots.values().map(|place| Thing::Function(*place)).filter(|thing| !graph.named.contains(thing));
        let start = module.start.map(|id| Thing::Function(graph.places[&id]));
        let kept = exported.iter().filter(|(_, name)| door(name).is_none()).map(|(place, _)| Thing::Function(*place));
        let core = graph.reached(kept.chain(start).chain(unknown), &|thing| owned.contains_key(&thing));
        let by_part: Vec<BTreeSet<Thing>> = (0..parts.len())
            .map(|part| {
                let doors = exported.iter().filter(|(_, name)| door(name) == Some(part));
                let own = owned.iter().filter(|(_, owner)| **owner == part).map(|(thing, _)| *thing);
                let roots = doors.map(|(place, _)| Thing::Function(*place)).chain(own);
                graph.reached(roots, &|thing| owned.get(&thing).is_some_and(|owner| *owner != part))
            })
            .collect();
        let place = |name: &str| parts.iter().position(|part| part.name == name);
        let over: Vec<Vec<usize>> =
            parts.iter().map(|part| part.over.iter().filter_map(|name| place(name)).collect()).collect();
        let home = |thing: Thing| {
            let users: BTreeSet<usize> = (0..parts.len()).filter(|part| by_part[*part].contains(&thing)).collect();
            // What a part finds in another that is loaded with it, it need not have itself.
            let held: BTreeSet<usize> =
                users.iter().copied().filter(|user| !over[*user].iter().any(|under| users.contains(under))).collect();
            let copied = matches!(thing, Thing::Function(_)) && held.len() <= FEW;
            match held.len() {
                _ if core.contains(&thing) => BTreeSet::new(),
                1 => held,
                _ if copied && held.iter().all(|part| parts[*part].copies) => held,
                // What several parts share stays with the core: it would have to be loaded for any of them.
                _ => BTreeSet::new(),
            }
        };
        let needed = |thing: Thing| core.contains(&thing) || by_part.iter().any(|part| part.contains(&thing));
        let spans = (0..links.pieces.len())
            // What nothing needs any more is dropped.
            .filter(|piece| needed(Thing::Piece(*piece)))
            .map(|piece| {
                let Piece { address, size, .. } = links.pieces[piece];
                (address, address + size, home(Thing::Piece(piece)).first().copied())
            })
            .collect();
        let local: Vec<bool> =
            module.funcs.iter().map(|function| matches!(function.kind, FunctionKind::Local(_))).collect();
        let home: Vec<BTreeSet<usize>> = (0..local.len())
            .map(|place| if local[place] { home(Thing::Function(place)) } else { BTreeSet::new() })
            .collect();

        let mut plan = Plan { home, lent: Vec::new(), called: BTreeMap::new(), slots: graph.slots, spans };
        plan.slots.retain(|_, place| needed(Thing::Function(*place)));
        plan.cross(&graph.calls, exported.keys().copied());
        Ok(plan)
    }

    /// Sorts what is lent by where `core`, built without this order, has it: a name then says which is next, and packing
    /// need not write it down.
    fn order(&mut self, core: &[u8]) -> Result<(), String> {
        let mut at = vec![0; self.lent.len()];
        for payload in wasmparser::Parser::new(0).parse_all(core) {
            if let wasmparser::Payload::ExportSection(exports) = payload.map_err(|why| why.to_string())? {
                for export in exports {
                    let export = export.map_err(|why| why.to_string())?;
                    if let Some(index) = (0..at.len()).find(|index| cut::short(*index) == export.name) {
                        at[index] = export.index;
                    }
                }
            }
        }
        let mut order: Vec<(u32, Place)> = at.into_iter().zip(self.lent.iter().copied()).collect();
        order.sort_unstable();
        self.lent = order.into_iter().map(|(_, place)| place).collect();
        Ok(())
    }

    /// Whether a function is of a home: the core's, or a part's.
    fn has(&self, home: Option<usize>, place: Place) -> bool {
        home.map_or(self.home[place].is_empty(), |part| self.home[place].contains(&part))
    }

    /// Finds the calls from one home to another: what a part calls of the core is lent, what is called of a part gets a
    /// slot.
    fn cross(&mut self, calls: &[BTreeSet<Place>], exported: impl Iterator<Item = Place>) {
        let mut lent = BTreeSet::new();
        let mut through: BTreeSet<Place> = exported.filter(|place| !self.home[*place].is_empty()).collect();
        for (place, called) in calls.iter().enumerate() {
            for &called in called {
                let (from, to) = (&self.home[place], &self.home[called]);
                // Every part that has the one has the other as well: its own.
                if from.is_subset(to) && !from.is_empty() || from.is_empty() && to.is_empty() {
                    continue;
                }
                if !from.is_empty() {
                    lent.insert(called);
                }
                if !to.is_empty() {
                    through.insert(called);
                }
            }
        }
        self.lent = lent.into_iter().collect();
        for place in through {
            let next = self.slots.keys().next_back().map_or(0, |last| last + 1);
            let slot = self.slots.iter().find(|(_, held)| **held == place).map_or(next, |(slot, _)| *slot);
            self.slots.insert(slot, place);
            self.called.insert(place, slot);
        }
    }
}

/// The part that owns a function or a constant, by its mangled name.
fn owner(name: &str, parts: &[Part]) -> Option<usize> {
    let path = format!("{:#}", rustc_demangle::demangle(name));
    let path = path.strip_prefix("tankside_calc::")?;
    // The compiler keeps one of several closures that came out alike, under the name of any of them: a search of the
    // phrases under that of a part. One that only the part needs is reached from there in any case.
    if path.contains("{{closure}}") {
        return None;
    }
    parts.iter().position(|part| part.owns.iter().any(|own| path.starts_with(own.as_str())))
}
