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
