//! Takes the bound core apart: what every page needs, and what only some pages load beside it.
//!
//! A phone in a garden without much signal should not fetch the whole trade to time one swath. The core stays one crate
//! and is linked and bound as one module; afterwards some of its doors and declarations move into parts of their own,
//! with every function and every constant that only they need. A part works in the core's memory, brings its constants
//! there, and fills the slots of the core's function table that were left empty for it; a call from the core into a part
//! goes through such a slot. A declaration whose part is not loaded reads as zeros: an id of no letters.

mod check;
mod cut;
mod links;
#[cfg(test)]
mod tests;

use links::{Links, Named, Piece};
use std::collections::{BTreeMap, BTreeSet};
use walrus::ir::{self, Visitor};
use walrus::{
    ConstExpr, ElementItems, ElementKind, Function, FunctionId, FunctionKind, Module, RefType, TableId, ir::Value,
};

/// One part: what moves into it, with all that only this needs.
pub(crate) struct Part {
    /// Its name.
    pub(crate) name: String,
    /// Functions of the core's door, by the name under which they are exported.
    pub(crate) doors: &'static [&'static str],
    /// How the path of a function or a constant inside the core crate (`card::CARD`) begins that is the part's in any
    /// case, though the core refers to it; empty where there is none.
    pub(crate) owns: String,
}

/// The core, and each part in the order of the description.
pub(crate) struct Taken {
    /// What every page loads.
    pub(crate) core: Vec<u8>,
    /// What a page may load beside it.
    pub(crate) parts: Vec<Vec<u8>>,
}

/// Takes `bound` apart: the module with its function names, mangled, that was made of `linked`.
///
/// # Errors
/// A module that cannot be read, or that is not as this compiler, linker and binding make one.
pub(crate) fn take_apart(linked: &[u8], bound: &[u8], parts: &[Part]) -> Result<Taken, String> {
    take_apart_by(&Links::read(linked)?, bound, parts)
}

/// Functions that only find words for a panic (for what says where it is, see [`Links::places`]). Nobody hears them in a browser, where a panic ends in a trap in any case;
/// with them went how to print a text with its letters escaped, and the tables for it.
const LAST_WORDS: [&str; 6] = [
    "core::panicking::panic_fmt",
    "core::panicking::panic_bounds_check",
    "core::str::slice_error_fail",
    "core::slice::index::slice_index_fail",
    "core::result::unwrap_failed",
    "core::option::expect_failed",
];

fn take_apart_by(links: &Links, bound: &[u8], parts: &[Part]) -> Result<Taken, String> {
    let module = parse(bound)?;
    check::check(&module, links)?;
    let plan = Plan::new(&module, links, parts)?;
    Ok(Taken {
        core: plan.core(parse(bound)?)?,
        parts: (0..parts.len()).map(|part| plan.part(parse(bound)?, part)).collect::<Result<_, String>>()?,
    })
}

fn parse(bytes: &[u8]) -> Result<Module, String> {
    let mut config = walrus::ModuleConfig::new();
    config.generate_name_section(false).generate_producers_section(false);
    let mut module = config.parse(bytes).map_err(|why| format!("the bound core cannot be read: {why:#}"))?;
    let silent = module.funcs.iter().filter(|function| {
        let name = function.name.as_deref().map(|name| format!("{:#}", rustc_demangle::demangle(name)));
        name.is_some_and(|name| LAST_WORDS.contains(&name.as_str()))
    });
    for id in silent.map(Function::id).collect::<Vec<_>>() {
        cut::trap(&mut module, id);
    }
    Ok(module)
}

/// Functions are known by their place in the module: parsing gives the same ones every time.
type Place = usize;

/// A function or a constant.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Thing {
    Function(Place),
    /// By its place in [`Links::pieces`].
    Piece(usize),
}

struct Plan {
    /// Which part a function moves to.
    home: Vec<Option<usize>>,
    /// Functions that a part calls and the core has.
    lent: BTreeSet<Place>,
    /// Functions of parts that are called from elsewhere: the slot through which they are called.
    called: BTreeMap<Place, u32>,
    /// The function table, slot by slot, as the whole would have it.
    slots: BTreeMap<u32, Place>,
    /// Where constants lie in memory, from and to, and which part they move to.
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

        // What stands in the table and nothing is known to refer to is called from outside the module.
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
        let home = |thing: Thing| {
            let mut users = (0..parts.len()).filter(|part| by_part[*part].contains(&thing));
            match (users.next(), users.next()) {
                // What two parts share stays with the core: it would have to be loaded for either.
                (Some(part), None) if !core.contains(&thing) => Some(part),
                _ => None,
            }
        };
        let needed = |thing: Thing| core.contains(&thing) || by_part.iter().any(|part| part.contains(&thing));
        let spans = (0..links.pieces.len())
            // What nothing needs any more is nobody's.
            .filter(|piece| needed(Thing::Piece(*piece)))
            .map(|piece| {
                let Piece { address, size, .. } = links.pieces[piece];
                (address, address + size, home(Thing::Piece(piece)))
            })
            .collect();
        let local: Vec<bool> =
            module.funcs.iter().map(|function| matches!(function.kind, FunctionKind::Local(_))).collect();
        let home: Vec<Option<usize>> =
            (0..local.len()).map(|place| home(Thing::Function(place)).filter(|_| local[place])).collect();

        let (mut lent, mut through) = (BTreeSet::new(), BTreeSet::new());
        for (place, called) in graph.calls.iter().enumerate() {
            for &called in called.iter().filter(|called| home[**called] != home[place]) {
                if home[place].is_some() {
                    lent.insert(called);
                }
                if home[called].is_some() {
                    through.insert(called);
                }
            }
        }
        through.extend(exported.keys().copied().filter(|place| home[*place].is_some()));
        let (mut called, mut slots) = (BTreeMap::new(), graph.slots);
        slots.retain(|_, place| needed(Thing::Function(*place)));
        for place in through {
            let next = slots.keys().next_back().map_or(0, |last| last + 1);
            let slot = slots.iter().find(|(_, held)| **held == place).map_or(next, |(slot, _)| *slot);
            slots.insert(slot, place);
            called.insert(place, slot);
        }
        Ok(Plan { home, lent, called, slots, spans })
    }
}

/// What refers to what.
struct Graph {
    places: BTreeMap<FunctionId, Place>,
    /// Whom each function calls.
    calls: Vec<BTreeSet<Place>>,
    /// What each function, and each constant, names beside that.
    by_function: Vec<Vec<Thing>>,
    by_piece: Vec<Vec<Thing>>,
    /// Functions and constants that something names.
    named: BTreeSet<Thing>,
    /// What stands in the function table, by slot.
    slots: BTreeMap<u32, Place>,
}

impl Graph {
    fn new(module: &Module, links: &Links) -> Result<Graph, String> {
        let places: BTreeMap<FunctionId, Place> =
            module.funcs.iter().enumerate().map(|(place, function)| (function.id(), place)).collect();
        let by_name: BTreeMap<&str, Place> = module
            .funcs
            .iter()
            .enumerate()
            .filter_map(|(place, function)| Some((function.name.as_deref()?, place)))
            .collect();
        let things = |named: &Named| -> Vec<Thing> {
            let functions = named.functions.iter().filter_map(|name| by_name.get(name.as_str()));
            named
                .pieces
                .difference(&links.places)
                .map(|piece| Thing::Piece(*piece))
                .chain(functions.map(|place| Thing::Function(*place)))
                .collect()
        };
        let by_function: Vec<Vec<Thing>> = module
            .funcs
            .iter()
            .map(|function| {
                function.name.as_deref().and_then(|name| links.by_function.get(name)).map_or_else(Vec::new, things)
            })
            .collect();
        let by_piece: Vec<Vec<Thing>> = links.by_piece.iter().map(things).collect();
        let named = by_function.iter().chain(&by_piece).flatten().copied().collect();
        let calls = module.funcs.iter().map(|function| called_by(function, &places)).collect();
        let slots = slots(module, &places)?;
        Ok(Graph { places, calls, by_function, by_piece, named, slots })
    }

    /// Everything that `roots` lead to, themselves included, without what `barred` names.
    fn reached(&self, roots: impl Iterator<Item = Thing>, barred: &dyn Fn(Thing) -> bool) -> BTreeSet<Thing> {
        let mut open: Vec<Thing> = roots.collect();
        let mut seen: BTreeSet<Thing> = open.iter().copied().collect();
        while let Some(thing) = open.pop() {
            let next: Vec<Thing> = match thing {
                Thing::Function(place) => {
                    let calls = self.calls[place].iter().map(|called| Thing::Function(*called));
                    calls.chain(self.by_function[place].iter().copied()).collect()
                }
                Thing::Piece(piece) => self.by_piece[piece].clone(),
            };
            open.extend(next.into_iter().filter(|thing| !barred(*thing) && seen.insert(*thing)));
        }
        seen
    }
}

/// The part that owns a function or a constant, by its mangled name.
fn owner(name: &str, parts: &[Part]) -> Option<usize> {
    let path = format!("{:#}", rustc_demangle::demangle(name));
    let path = path.strip_prefix("tankside_calc::")?;
    parts.iter().position(|part| !part.owns.is_empty() && path.starts_with(&part.owns))
}

struct Calls<'a> {
    places: &'a BTreeMap<FunctionId, Place>,
    found: BTreeSet<Place>,
}

impl<'instr> Visitor<'instr> for Calls<'_> {
    fn visit_function_id(&mut self, function: &FunctionId) {
        self.found.insert(self.places[function]);
    }
}

fn called_by(function: &Function, places: &BTreeMap<FunctionId, Place>) -> BTreeSet<Place> {
    let mut calls = Calls { places, found: BTreeSet::new() };
    if let FunctionKind::Local(local) = &function.kind {
        ir::dfs_in_order(&mut calls, local, local.entry_block());
    }
    calls.found
}

/// What stands in the function table, by slot.
fn slots(module: &Module, places: &BTreeMap<FunctionId, Place>) -> Result<BTreeMap<u32, Place>, String> {
    let mut slots = BTreeMap::new();
    let main = table(module)?;
    for element in module.elements.iter() {
        match (&element.kind, &element.items) {
            (
                ElementKind::Active { table, offset: ConstExpr::Value(Value::I32(offset)) },
                ElementItems::Functions(ids),
            ) if *table == main => {
                for (index, id) in (0u32..).zip(ids) {
                    slots.insert(offset.cast_unsigned() + index, places[id]);
                }
            }
            _ => return Err("the bound core fills its function table in a way that is not known here".to_owned()),
        }
    }
    Ok(slots)
}

/// The one table of functions.
fn table(module: &Module) -> Result<TableId, String> {
    let mut tables = module.tables.iter().filter(|table| table.element_ty == RefType::FUNCREF);
    match (tables.next(), tables.next()) {
        (Some(table), None) => Ok(table.id()),
        _ => Err("the bound core has no table of functions, or several".to_owned()),
    }
}
