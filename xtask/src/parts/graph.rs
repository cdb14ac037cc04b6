//! What refers to what in the bound module: calls, constants and slots of the function table.

use super::links::{Links, Named};
use std::collections::{BTreeMap, BTreeSet};
use walrus::ir::{self, Value, Visitor};
use walrus::{ConstExpr, ElementItems, ElementKind, Function, FunctionId, FunctionKind, Module, RefType, TableId};

/// Functions are known by their place in the module: parsing gives the same ones every time.
pub(super) type Place = usize;

/// A function or a constant.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Thing {
    Function(Place),
    /// By its place in [`Links::pieces`].
    Piece(usize),
}

/// What refers to what.
pub(super) struct Graph {
    pub(super) places: BTreeMap<FunctionId, Place>,
    /// Whom each function calls.
    pub(super) calls: Vec<BTreeSet<Place>>,
    /// What else each function and each constant refers to.
    pub(super) by_function: Vec<Vec<Thing>>,
    pub(super) by_piece: Vec<Vec<Thing>>,
    /// Functions and constants that something refers to.
    pub(super) named: BTreeSet<Thing>,
    /// What is in the function table, by slot.
    pub(super) slots: BTreeMap<u32, Place>,
}

impl Graph {
    pub(super) fn new(module: &Module, links: &Links) -> Result<Graph, String> {
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
        let mut by_function: Vec<Vec<Thing>> = module
            .funcs
            .iter()
            .map(|function| {
                function.name.as_deref().and_then(|name| links.by_function.get(name)).map_or_else(Vec::new, things)
            })
            .collect();
        let by_piece: Vec<Vec<Thing>> = links.by_piece.iter().map(things).collect();
        let named = by_function.iter().chain(&by_piece).flatten().copied().collect();
        // What only finds words for a panic ends in a trap, and needs none of what it named before.
        for (named, function) in by_function.iter_mut().zip(module.funcs.iter()) {
            if super::is_silent(function) {
                named.clear();
            }
        }
        let calls = module.funcs.iter().map(|function| called_by(function, &places)).collect();
        let slots = slots(module, &places)?;
        Ok(Graph { places, calls, by_function, by_piece, named, slots })
    }

    /// Everything that `roots` lead to, themselves included, except what `barred` names.
    pub(super) fn reached(
        &self,
        roots: impl Iterator<Item = Thing>,
        barred: &dyn Fn(Thing) -> bool,
    ) -> BTreeSet<Thing> {
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

/// What is in the function table, by slot.
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
pub(super) fn table(module: &Module) -> Result<TableId, String> {
    let mut tables = module.tables.iter().filter(|table| table.element_ty == RefType::FUNCREF);
    match (tables.next(), tables.next()) {
        (Some(table), None) => Ok(table.id()),
        _ => Err("the bound core has no table of functions, or several".to_owned()),
    }
}
