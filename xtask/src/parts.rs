//! Takes the bound core apart: what every page needs, and what only some pages load beside it.
//!
//! A phone in a garden without much signal should not fetch the whole trade to time one swath. The core stays one crate
//! and is linked and bound as one module; afterwards the functions of its rarer modules move into parts of their own,
//! with whatever only they call. A part works in the core's memory and fills the slots of the core's function table that
//! were left empty for it; a call from the core into a part goes through such a slot.

use std::collections::{BTreeMap, BTreeSet};
use walrus::ir::{self, Value, Visitor};
use walrus::{
    ConstExpr, ElementItems, ElementKind, Function, FunctionBuilder, FunctionId, FunctionKind, GlobalId, GlobalKind,
    ImportedFunction, Module, ModuleConfig, RefType, TableId,
};

/// One part: the functions that belong to it.
pub(crate) struct Part<'a> {
    /// Whether a function with this path inside the core crate (`card::face::card`) belongs to it.
    pub(crate) owns: &'a dyn Fn(&str) -> bool,
    /// Functions of the core's door that belong to it.
    pub(crate) exports: &'a [&'a str],
}

/// The core, and each part in the order of the description.
pub(crate) struct Taken {
    /// What every page loads.
    pub(crate) core: Vec<u8>,
    /// What a page may load beside it.
    pub(crate) parts: Vec<Vec<u8>>,
}

/// What a module wants from another: the name under which parts find the core.
const CORE: &str = "core";

/// Takes `bound`, with its function names, apart.
///
/// # Errors
/// A module that cannot be read, or that lacks what every module of this compiler has: one memory, one table.
pub(crate) fn take_apart(bound: &[u8], parts: &[Part<'_>]) -> Result<Taken, String> {
    let plan = Plan::new(&parse(bound)?, parts)?;
    Ok(Taken {
        core: plan.core(parse(bound)?)?,
        parts: (0..parts.len()).map(|part| plan.part(parse(bound)?, part)).collect::<Result<_, String>>()?,
    })
}

fn parse(bytes: &[u8]) -> Result<Module, String> {
    let mut config = ModuleConfig::new();
    config.generate_name_section(false).generate_producers_section(false);
    config.parse(bytes).map_err(|why| format!("the bound core cannot be read: {why:#}"))
}

/// Functions are known by their place in the module: parsing gives the same ones every time.
type Place = usize;

struct Plan {
    /// Which part a function moves to.
    home: Vec<Option<usize>>,
    /// Functions that a part calls and the core has.
    lent: BTreeSet<Place>,
    /// Functions of parts that are called from elsewhere: the slot through which they are called.
    called: BTreeMap<Place, u32>,
    /// The function table, slot by slot, as the whole would have it.
    slots: BTreeMap<u32, Place>,
}

impl Plan {
    fn new(module: &Module, parts: &[Part<'_>]) -> Result<Plan, String> {
        let places: BTreeMap<FunctionId, Place> =
            module.funcs.iter().enumerate().map(|(place, function)| (function.id(), place)).collect();
        let calls: Vec<BTreeSet<Place>> = module.funcs.iter().map(|function| called_by(function, &places)).collect();
        let mut slots = slots(module, &places)?;
        let exported: BTreeMap<Place, &str> = module
            .exports
            .iter()
            .filter_map(|export| match export.item {
                walrus::ExportItem::Function(id) => Some((places[&id], export.name.as_str())),
                _ => None,
            })
            .collect();
        let owners: Vec<Option<usize>> = module
            .funcs
            .iter()
            .enumerate()
            .map(|(place, function)| owner(function, exported.get(&place).copied(), parts))
            .collect();

        let start = module.start.map(|id| places[&id]);
        let roots = exported.keys().chain(slots.values()).copied().chain(start);
        let core = reached(roots.filter(|place| owners[*place].is_none()), &calls, &owners);
        let by_part: Vec<BTreeSet<Place>> = (0..parts.len())
            .map(|part| {
                let own = (0..owners.len()).filter(|place| owners[*place] == Some(part));
                reached(own, &calls, &vec![None; owners.len()])
            })
            .collect();
        let home: Vec<Option<usize>> = (0..owners.len())
            .map(|place| {
                let mut users = (0..parts.len()).filter(|part| by_part[*part].contains(&place));
                match (owners[place], users.next(), users.next()) {
                    (Some(part), ..) => Some(part),
                    // What two parts share stays with the core: it would have to be loaded for either.
                    (None, Some(part), None) if !core.contains(&place) && is_local(module, place) => Some(part),
                    _ => None,
                }
            })
            .collect();

        let (mut lent, mut through) = (BTreeSet::new(), BTreeSet::new());
        for (place, called) in calls.iter().enumerate() {
            for &called in called.iter().filter(|called| home[**called] != home[place]) {
                if home[place].is_some() {
                    lent.insert(called);
                }
                if home[called].is_some() {
                    through.insert(called);
                }
            }
        }
        through.extend(exported.keys().copied().chain(start).filter(|place| home[*place].is_some()));
        let mut called = BTreeMap::new();
        let mut next = slots.keys().next_back().map_or(0, |last| last + 1);
        for place in through {
            let slot = slots.iter().find(|(_, held)| **held == place).map(|(slot, _)| *slot);
            let slot = slot.unwrap_or(next);
            next = next.max(slot + 1);
            slots.insert(slot, place);
            called.insert(place, slot);
        }
        Ok(Plan { home, lent, called, slots })
    }

    /// The core: functions that moved are gone, or are a jump through their slot.
    fn core(&self, mut module: Module) -> Result<Vec<u8>, String> {
        let ids: Vec<FunctionId> = module.funcs.iter().map(Function::id).collect();
        let table = table(&module)?;
        for (&place, &slot) in &self.called {
            jump(&mut module, ids[place], table, slot);
        }
        self.fill(&mut module, table, &ids, None);
        for &place in &self.lent {
            module.exports.add(&short(place), ids[place]);
        }
        module.exports.add("table", table);
        for (index, id) in shared_globals(&module).into_iter().enumerate() {
            module.exports.add(&format!("g{index}"), id);
        }
        walrus::passes::gc::run(&mut module);
        Ok(module.emit_wasm())
    }

    /// A part: its own functions, in the core's memory and table.
    fn part(&self, mut module: Module, part: usize) -> Result<Vec<u8>, String> {
        let ids: Vec<FunctionId> = module.funcs.iter().map(Function::id).collect();
        let table = table(&module)?;
        let memory = module.get_memory_id().map_err(|why| format!("the bound core has no memory: {why}"))?;
        module.start = None;
        for id in module.exports.iter().map(walrus::Export::id).collect::<Vec<_>>() {
            module.exports.delete(id);
        }
        for id in module.data.iter().map(walrus::Data::id).collect::<Vec<_>>() {
            module.data.delete(id);
        }
        for id in module.customs.iter().map(|(id, _)| id).collect::<Vec<_>>() {
            module.customs.delete(id);
        }
        for (index, id) in shared_globals(&module).into_iter().enumerate() {
            let import = module.imports.add(CORE, &format!("g{index}"), id);
            module.globals.get_mut(id).kind = GlobalKind::Import(import);
        }
        let import = module.imports.add(CORE, "memory", memory);
        let held = module.memories.get_mut(memory);
        held.import = Some(import);
        held.data_segments.clear();
        let import = module.imports.add(CORE, "table", table);
        module.tables.get_mut(table).import = Some(import);
        for &place in &self.lent {
            if self.home[place] != Some(part) {
                let ty = module.funcs.get(ids[place]).ty();
                let import = module.imports.add(CORE, &short(place), ids[place]);
                module.funcs.get_mut(ids[place]).kind = FunctionKind::Import(ImportedFunction { import, ty });
            }
        }
        self.fill(&mut module, table, &ids, Some(part));
        walrus::passes::gc::run(&mut module);
        Ok(module.emit_wasm())
    }

    /// Puts the functions of one home into their slots; a run of neighbours is one segment. Every module must say the
    /// same size of table.
    fn fill(&self, module: &mut Module, table: TableId, ids: &[FunctionId], home: Option<usize>) {
        for id in module.elements.iter().map(walrus::Element::id).collect::<Vec<_>>() {
            module.elements.delete(id);
        }
        let size = self.slots.keys().next_back().map_or(0, |last| u64::from(*last) + 1);
        let held = module.tables.get_mut(table);
        held.elem_segments.clear();
        held.initial = held.initial.max(size);
        held.maximum = held.maximum.map(|most| most.max(size));
        let own: Vec<(u32, Place)> = self
            .slots
            .iter()
            .filter(|(_, place)| self.home[**place] == home)
            .map(|(slot, place)| (*slot, *place))
            .collect();
        for run in own.chunk_by(|a, b| a.0 + 1 == b.0) {
            let Some((first, _)) = run.first() else { continue };
            #[allow(clippy::cast_possible_wrap, reason = "a table has some hundred slots")]
            let offset = ConstExpr::Value(Value::I32(*first as i32));
            let kind = ElementKind::Active { table, offset };
            let items = ElementItems::Functions(run.iter().map(|(_, place)| ids[*place]).collect());
            let id = module.elements.add(kind, items);
            module.tables.get_mut(table).elem_segments.insert(id);
        }
    }
}

/// The part that a function belongs to by its name.
fn owner(function: &Function, exported: Option<&str>, parts: &[Part<'_>]) -> Option<usize> {
    if let Some(name) = exported {
        return parts.iter().position(|part| part.exports.contains(&name));
    }
    let name = function.name.as_deref()?;
    // `<tankside_calc[9f…]::card::Card as …>::…`: the names of this compiler carry the crate's digest.
    let path = name.trim_start_matches(['<', '&']).strip_prefix("tankside_calc[")?.split_once("]::")?.1;
    parts.iter().position(|part| (part.owns)(path))
}

fn is_local(module: &Module, place: Place) -> bool {
    module.funcs.iter().nth(place).is_some_and(|function| matches!(function.kind, FunctionKind::Local(_)))
}

/// Everything that `roots` call, without passing through what belongs to a part.
fn reached(roots: impl Iterator<Item = Place>, calls: &[BTreeSet<Place>], stop: &[Option<usize>]) -> BTreeSet<Place> {
    let mut open: Vec<Place> = roots.collect();
    let mut seen: BTreeSet<Place> = open.iter().copied().collect();
    while let Some(place) = open.pop() {
        for &called in &calls[place] {
            if stop[called].is_none() && seen.insert(called) {
                open.push(called);
            }
        }
    }
    seen
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

/// The globals of the core, its stack pointer before all, in their order.
fn shared_globals(module: &Module) -> Vec<GlobalId> {
    module
        .globals
        .iter()
        .filter(|global| matches!(global.kind, GlobalKind::Local(_)))
        .map(|global| global.id())
        .collect()
}

/// Makes a function a jump through a slot of the table.
fn jump(module: &mut Module, id: FunctionId, table: TableId, slot: u32) {
    let ty = module.funcs.get(id).ty();
    let (params, results) = (module.types.params(ty).to_vec(), module.types.results(ty).to_vec());
    let mut builder = FunctionBuilder::new(&mut module.types, &params, &results);
    let args: Vec<_> = params.iter().map(|ty| module.locals.add(*ty)).collect();
    let mut body = builder.func_body();
    for arg in &args {
        body.local_get(*arg);
    }
    body.i32_const(slot.cast_signed());
    body.call_indirect(ty, table);
    module.funcs.get_mut(id).kind = FunctionKind::Local(builder.local_func(args));
}

/// A short name for a function that is lent: letters cost bytes.
fn short(place: Place) -> String {
    format!("{place:x}")
}

#[cfg(test)]
mod tests {
    use super::{Part, take_apart};
    use walrus::{ConstExpr, ElementItems, ElementKind, FunctionBuilder, FunctionId, Module, RefType, ir::Value};

    /// A module as the compiler leaves one: memory, stack pointer, table; the door calls a card, which calls what only
    /// it needs and what all need. In the table stand a function of the core and one of the card.
    fn bound() -> Vec<u8> {
        let mut module = Module::default();
        let memory = module.memories.add_local(false, false, 1, None, None);
        module.exports.add("memory", memory);
        let stack = ConstExpr::Value(Value::I32(1024));
        module.globals.add_local(walrus::ValType::I32, true, false, stack);
        let shared = function(&mut module, "tankside_calc[1]::say::number", &[]);
        let only = function(&mut module, "alloc[2]::vec::from_iter", &[]);
        let card = function(&mut module, "tankside_calc[1]::card::card", &[only, shared]);
        let draw = function(&mut module, "<tankside_calc[1]::card::Face as core[3]::Draw>::draw", &[shared]);
        let door = function(&mut module, "cards", &[card, shared]);
        module.exports.add("cards", door);
        let table = module.tables.add_local(false, 3, Some(3), RefType::FUNCREF);
        let offset = ConstExpr::Value(Value::I32(1));
        let segment =
            module.elements.add(ElementKind::Active { table, offset }, ElementItems::Functions(vec![shared, draw]));
        module.tables.get_mut(table).elem_segments.insert(segment);
        module.emit_wasm()
    }

    fn function(module: &mut Module, name: &str, calls: &[FunctionId]) -> FunctionId {
        let mut builder = FunctionBuilder::new(&mut module.types, &[], &[]);
        builder.name(name.to_owned());
        for call in calls {
            builder.func_body().call(*call);
        }
        builder.finish(Vec::new(), &mut module.funcs)
    }

    /// Functions, imports of functions, and filled slots of the table.
    fn counts(bytes: &[u8]) -> (usize, usize, Vec<(i32, usize)>) {
        let module = Module::from_buffer(bytes).expect("a module comes out");
        let local = module.funcs.iter_local().count();
        let filled = module.elements.iter().map(|element| match (&element.kind, &element.items) {
            (ElementKind::Active { offset: ConstExpr::Value(Value::I32(at)), .. }, ElementItems::Functions(held)) => {
                (*at, held.len())
            }
            other => panic!("an unexpected segment: {other:?}"),
        });
        let mut filled: Vec<_> = filled.collect();
        filled.sort_unstable();
        (local, module.funcs.iter().count() - local, filled)
    }

    #[test]
    fn a_part_takes_what_only_it_calls_and_the_core_keeps_what_is_shared() {
        let card = Part { owns: &|path| path.starts_with("card::"), exports: &[] };
        let taken = take_apart(&bound(), &[card]).expect("it comes apart");
        // The door, what is shared, and a jump to the card; slot 2 is the card's and slot 3 was made for the jump.
        assert_eq!(counts(&taken.core), (3, 0, vec![(1, 1)]));
        // The card, its drawing and what only it calls; what is shared is lent by the core.
        assert_eq!(counts(&taken.parts[0]), (3, 1, vec![(2, 2)]));
        let sizes = [&taken.core, &taken.parts[0]].map(|bytes| {
            let module = Module::from_buffer(bytes).expect("a module comes out");
            module.tables.iter().map(|table| (table.initial, table.maximum)).collect::<Vec<_>>()
        });
        assert_eq!(sizes, [vec![(4, Some(4))], vec![(4, Some(4))]]);
    }

    #[test]
    fn without_parts_the_core_is_whole() {
        let taken = take_apart(&bound(), &[]).expect("it comes apart");
        assert_eq!(counts(&taken.core), (5, 0, vec![(1, 2)]));
        assert!(taken.parts.is_empty());
    }

    #[test]
    fn what_is_no_module_is_told() {
        let told = take_apart(b"lawn", &[]).err().expect("it is refused");
        assert!(told.contains("cannot be read"), "{told}");
    }
}
