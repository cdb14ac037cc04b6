//! The cutting itself, once the plan says what goes where.

use super::Plan;
use super::graph::{Place, table};
use tankside_unpack::lent_name;
use walrus::ir::Value;
use walrus::{
    ConstExpr, DataKind, ElementItems, ElementKind, Function, FunctionBuilder, FunctionId, FunctionKind, GlobalId,
    GlobalKind, ImportedFunction, InstrSeqBuilder, LocalId, Module, TableId,
};

/// What a module wants from another: the name under which parts find the core.
const CORE: &str = "core";
/// A gap between two constants of one home up to this many bytes is filled with what is there: cheaper than a
/// segment. A part fills padding only, because the core may have written to its own.
const GAP: usize = 12;

impl Plan {
    /// The core: functions that moved are gone, or are a jump through their slot.
    pub(super) fn core(&self, mut module: Module) -> Result<Vec<u8>, String> {
        let ids: Vec<FunctionId> = module.funcs.iter().map(Function::id).collect();
        let table = table(&module)?;
        for (&place, &slot) in &self.called {
            jump(&mut module, ids[place], table, slot);
        }
        self.fill(&mut module, table, &ids, None);
        self.bring(&mut module, None);
        Plan::forget(&mut module);
        module.exports.add("table", table);
        for (index, id) in shared_globals(&module).into_iter().enumerate() {
            module.exports.add(&format!("g{index}"), id);
        }
        for (index, &place) in self.lent.iter().enumerate() {
            module.exports.add(&short(index), ids[place]);
        }
        walrus::passes::gc::run(&mut module);
        Ok(module.emit_wasm())
    }

    /// A part: its own functions, in the core's memory and table.
    pub(super) fn part(&self, mut module: Module, part: usize) -> Result<Vec<u8>, String> {
        let ids: Vec<FunctionId> = module.funcs.iter().map(Function::id).collect();
        let table = table(&module)?;
        let memory = module.get_memory_id().map_err(|why| format!("the bound core has no memory: {why}"))?;
        module.start = None;
        for id in module.exports.iter().map(walrus::Export::id).collect::<Vec<_>>() {
            module.exports.delete(id);
        }
        for (index, id) in shared_globals(&module).into_iter().enumerate() {
            let import = module.imports.add(CORE, &format!("g{index}"), id);
            module.globals.get_mut(id).kind = GlobalKind::Import(import);
        }
        let import = module.imports.add(CORE, "memory", memory);
        module.memories.get_mut(memory).import = Some(import);
        let import = module.imports.add(CORE, "table", table);
        module.tables.get_mut(table).import = Some(import);
        for (index, &place) in self.lent.iter().enumerate() {
            if !self.has(Some(part), place) {
                let ty = module.funcs.get(ids[place]).ty();
                let import = module.imports.add(CORE, &short(index), ids[place]);
                module.funcs.get_mut(ids[place]).kind = FunctionKind::Import(ImportedFunction { import, ty });
            }
        }
        self.fill(&mut module, table, &ids, Some(part));
        self.bring(&mut module, Some(part));
        Plan::forget(&mut module);
        walrus::passes::gc::run(&mut module);
        Ok(module.emit_wasm())
    }

    /// Drops what the linker recorded; it is no longer true.
    fn forget(module: &mut Module) {
        for id in module.customs.iter().map(|(id, _)| id).collect::<Vec<_>>() {
            module.customs.delete(id);
        }
    }

    /// Keeps only the constants of one home; bytes that the core shares with a part are the core's. What belongs
    /// to no needed constant goes: [`super::check`] has verified that the code reads nothing else.
    fn bring(&self, module: &mut Module, home: Option<usize>) {
        for id in module.data.iter().map(walrus::Data::id).collect::<Vec<_>>() {
            let data = module.data.get_mut(id);
            let DataKind::Active { memory, offset: ConstExpr::Value(Value::I32(base)) } = data.kind else { continue };
            let (base, bytes) = (base.cast_unsigned() as usize, std::mem::take(&mut data.value));
            for (from, to) in self.runs(base, bytes.len(), home) {
                #[allow(clippy::cast_possible_wrap, clippy::cast_possible_truncation, reason = "addresses are 32 bits")]
                let offset = ConstExpr::Value(Value::I32((base + from) as i32));
                let kept = module.data.add(DataKind::Active { memory, offset }, bytes[from..to].to_vec());
                module.memories.get_mut(memory).data_segments.insert(kept);
            }
            module.memories.get_mut(memory).data_segments.remove(&id);
            module.data.delete(id);
        }
    }

    /// Where the constants of one home are in a segment of `length` bytes at `base`.
    fn runs(&self, base: usize, length: usize, home: Option<usize>) -> Vec<(usize, usize)> {
        let (mut core, mut own, mut known) = (vec![false; length], vec![false; length], vec![false; length]);
        for &(from, to, at) in &self.spans {
            let within = |address: u32| (address as usize).clamp(base, base + length) - base;
            for byte in within(from)..within(to) {
                known[byte] = true;
                core[byte] |= at.is_none();
                own[byte] |= at == home;
            }
        }
        let wanted = (0..length).filter(|byte| match home {
            None => core[*byte],
            Some(_) => own[*byte] && !core[*byte],
        });
        let mut runs: Vec<(usize, usize)> = Vec::new();
        for byte in wanted {
            match runs.last_mut() {
                Some((_, to)) if byte <= *to + GAP && (home.is_none() || !known[*to..byte].contains(&true)) => {
                    *to = byte + 1;
                }
                _ => runs.push((byte, byte + 1)),
            }
        }
        runs
    }

    /// Puts the functions of one home into their slots; a run of neighbors is one segment. Every module must state
    /// the same table size.
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
            .filter(|(_, place)| self.has(home, **place))
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

/// The globals of the core, its stack pointer before all, in their order.
fn shared_globals(module: &Module) -> Vec<GlobalId> {
    module
        .globals
        .iter()
        .filter(|global| matches!(global.kind, GlobalKind::Local(_)))
        .map(|global| global.id())
        .collect()
}

/// Makes a function end in a trap.
pub(super) fn trap(module: &mut Module, id: FunctionId) {
    replace(module, id, |body, _| {
        body.unreachable();
    });
}

/// Makes a function a jump through a slot of the table.
fn jump(module: &mut Module, id: FunctionId, table: TableId, slot: u32) {
    let ty = module.funcs.get(id).ty();
    replace(module, id, |body, args| {
        for arg in args {
            body.local_get(*arg);
        }
        body.i32_const(slot.cast_signed());
        body.call_indirect(ty, table);
    });
}

/// Gives a function another body.
fn replace(module: &mut Module, id: FunctionId, write: impl FnOnce(&mut InstrSeqBuilder<'_>, &[LocalId])) {
    let ty = module.funcs.get(id).ty();
    let (params, results) = (module.types.params(ty).to_vec(), module.types.results(ty).to_vec());
    let mut builder = FunctionBuilder::new(&mut module.types, &params, &results);
    let args: Vec<LocalId> = params.iter().map(|ty| module.locals.add(*ty)).collect();
    write(&mut builder.func_body(), &args);
    module.funcs.get_mut(id).kind = FunctionKind::Local(builder.local_func(args));
}

/// The name of the function that is lent as this one of them: two letters, as letters cost bytes. No other name of two
/// ends as these do: `g0` ends in a digit.
pub(super) fn short(index: usize) -> String {
    assert!(index < 64 * 64, "more functions are lent than there are short names");
    lent_name(index).map(char::from).iter().collect()
}
