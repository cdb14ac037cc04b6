use super::links::{Links, Named, Piece};
use super::{Part, take_apart, take_apart_by};
use std::collections::{BTreeMap, BTreeSet};
use walrus::ir::Value;
use walrus::{ConstExpr, DataKind, ElementItems, ElementKind, FunctionBuilder, FunctionId, Module, RefType};

/// Constants as they lie at address 16: `shared`, a declaration of the card, what it points to, what nothing needs.
const BYTES: &[u8; 32] = b"sharedshCARD....drawn by a hand.";
const PIECES: [(&str, u32, u32); 4] =
    [("shared", 16, 8), ("_ZN13tankside_calc4card4CARD17h0123456789abcdefE", 24, 8), ("drawn", 32, 8), ("dead", 40, 8)];

/// A module as compiler and binding leave one. Two doors: `cards` calls the card, which calls what only it needs and
/// what all need; `worked` calls what all need, and refers to the declaration. The declaration holds a function.
fn bound() -> Vec<u8> {
    let mut module = Module::default();
    let memory = module.memories.add_local(false, false, 1, None, None);
    module.exports.add("memory", memory);
    let offset = ConstExpr::Value(Value::I32(16));
    let data = module.data.add(DataKind::Active { memory, offset }, BYTES.to_vec());
    module.memories.get_mut(memory).data_segments.insert(data);
    let stack = ConstExpr::Value(Value::I32(1024));
    module.globals.add_local(walrus::ValType::I32, true, false, stack);
    let shared = function(&mut module, "shared_by_all", &[]);
    let only = function(&mut module, "from_iter", &[]);
    let card = function(&mut module, "card", &[only, shared]);
    let draw = function(&mut module, "draw", &[shared]);
    let cards = function(&mut module, "cards", &[card, shared]);
    let worked = function(&mut module, "worked", &[shared]);
    module.exports.add("cards", cards);
    module.exports.add("worked", worked);
    let table = module.tables.add_local(false, 3, Some(3), RefType::FUNCREF);
    let offset = ConstExpr::Value(Value::I32(1));
    let items = ElementItems::Functions(vec![shared, draw]);
    let segment = module.elements.add(ElementKind::Active { table, offset }, items);
    module.tables.get_mut(table).elem_segments.insert(segment);
    module.emit_wasm()
}

/// What the linker would have written down of it.
fn links() -> Links {
    let pieces = PIECES.map(|(name, address, size)| Piece { name: name.to_owned(), address, size });
    let named = |pieces: &[usize], functions: &[&str]| Named {
        pieces: pieces.iter().copied().collect(),
        functions: functions.iter().map(|name| (*name).to_owned()).collect(),
    };
    Links {
        pieces: pieces.to_vec(),
        by_function: BTreeMap::from([
            ("shared_by_all".to_owned(), named(&[0], &["shared_by_all"])),
            ("worked".to_owned(), named(&[1], &[])),
        ]),
        by_piece: vec![named(&[], &[]), named(&[2], &["draw"]), named(&[], &[]), named(&[], &[])],
        places: BTreeSet::new(),
    }
}

fn function(module: &mut Module, name: &str, calls: &[FunctionId]) -> FunctionId {
    let mut builder = FunctionBuilder::new(&mut module.types, &[], &[]);
    builder.name(name.to_owned());
    for call in calls {
        builder.func_body().call(*call);
    }
    builder.finish(Vec::new(), &mut module.funcs)
}

fn card() -> Part {
    Part { name: "card".to_owned(), doors: &["cards"], owns: vec!["card::".to_owned()], over: &[], copies: false }
}

/// What is in a module: functions of its own, functions it borrows, filled slots, constants.
#[derive(Debug, PartialEq)]
struct Contents {
    own: usize,
    borrowed: usize,
    filled: Vec<(i32, usize)>,
    constants: Vec<(i32, String)>,
    table: Vec<(u64, Option<u64>)>,
}

fn contents(bytes: &[u8]) -> Contents {
    let module = Module::from_buffer(bytes).expect("a module comes out");
    let own = module.funcs.iter_local().count();
    let at = |offset: &ConstExpr| match offset {
        ConstExpr::Value(Value::I32(at)) => *at,
        other => panic!("an unexpected place: {other:?}"),
    };
    let filled = module.elements.iter().map(|element| match (&element.kind, &element.items) {
        (ElementKind::Active { offset, .. }, ElementItems::Functions(held)) => (at(offset), held.len()),
        other => panic!("an unexpected segment: {other:?}"),
    });
    let constants = module.data.iter().map(|data| match &data.kind {
        DataKind::Active { offset, .. } => (at(offset), String::from_utf8_lossy(&data.value).into_owned()),
        DataKind::Passive => panic!("an unexpected segment"),
    });
    let (mut filled, mut constants): (Vec<_>, Vec<_>) = (filled.collect(), constants.collect());
    filled.sort_unstable();
    constants.sort_unstable();
    let table = module.tables.iter().map(|table| (table.initial, table.maximum)).collect();
    Contents { own, borrowed: module.funcs.iter().count() - own, filled, constants, table }
}

#[test]
fn a_part_takes_what_only_it_needs_and_the_core_keeps_what_is_shared() {
    let taken = take_apart_by(&links(), &bound(), &[card()]).expect("it comes apart");
    // `worked`, what is shared, and a jump to `cards` through a slot that was made for it.
    let core = Contents {
        own: 3,
        borrowed: 0,
        filled: vec![(1, 1)],
        constants: vec![(16, "sharedsh".to_owned())],
        table: vec![(4, Some(4))],
    };
    assert_eq!(contents(&taken.core), core);
    // `cards`, the card, its drawing and what only it calls; its declaration and what that points to, in one run.
    let part = Contents {
        own: 4,
        borrowed: 1,
        filled: vec![(2, 2)],
        constants: vec![(24, "CARD....drawn by".to_owned())],
        table: vec![(4, Some(4))],
    };
    assert_eq!(contents(&taken.parts[0]), part);
}

#[test]
fn what_two_parts_need_stays_with_the_core() {
    let sheet = Part { name: "sheet".to_owned(), doors: &["worked"], owns: Vec::new(), over: &[], copies: false };
    let taken = take_apart_by(&links(), &bound(), &[card(), sheet]).expect("it comes apart");
    let core = contents(&taken.core);
    // What is shared, and a jump to each door.
    assert_eq!((core.own, core.filled, core.constants), (3, vec![(1, 1)], vec![(16, "sharedsh".to_owned())]));
    assert_eq!((contents(&taken.parts[0]).own, contents(&taken.parts[1]).own), (4, 1));
}

#[test]
fn without_parts_the_core_is_whole_but_for_what_nothing_needs() {
    let taken = take_apart_by(&links(), &bound(), &[]).expect("it comes apart");
    let core = contents(&taken.core);
    assert_eq!((core.own, core.filled), (6, vec![(1, 2)]));
    assert_eq!(core.constants, vec![(16, "sharedshCARD....drawn by".to_owned())]);
    assert!(taken.parts.is_empty());
}

#[test]
fn what_finds_words_for_a_panic_needs_none_of_them() {
    let mut module = Module::from_buffer(&bound()).expect("it is a module");
    let name = "_ZN4core9panicking18panic_bounds_check17h0123456789abcdefE";
    let words = function(&mut module, name, &[]);
    module.exports.add("words", words);
    let mut links = links();
    links.by_function.insert(name.to_owned(), Named { pieces: BTreeSet::from([3]), ..Named::default() });
    let taken = take_apart_by(&links, &module.emit_wasm(), &[]).expect("it comes apart");
    assert_eq!(contents(&taken.core).constants, vec![(16, "sharedshCARD....drawn by".to_owned())]);
}

#[test]
fn lent_functions_have_short_names_of_their_own() {
    let names: BTreeSet<String> = (0..1000).map(super::cut::short).collect();
    assert_eq!((names.len(), names.iter().all(|name| name.len() == 2)), (1000, true));
    assert!(names.iter().all(|name| name.ends_with(|last: char| ('@'..='\u{7f}').contains(&last))), "as `g0` does not");
}

#[test]
fn a_constant_that_the_linker_did_not_record_is_reported() {
    let mut module = Module::from_buffer(&bound()).expect("it is a module");
    let mut builder = FunctionBuilder::new(&mut module.types, &[], &[]);
    builder.name("reader".to_owned());
    builder.func_body().i32_const(24).drop();
    let reader = builder.finish(Vec::new(), &mut module.funcs);
    module.exports.add("reader", reader);
    let mut links = links();
    let told = take_apart_by(&links, &module.emit_wasm(), &[card()]).err().expect("it is refused");
    assert!(told.starts_with("reader uses 0x18"), "{told}");
    links.by_function.insert("reader".to_owned(), Named { pieces: BTreeSet::from([1]), ..Named::default() });
    assert!(take_apart_by(&links, &module.emit_wasm(), &[card()]).is_ok());
}

#[test]
fn a_number_with_a_fraction_that_the_standard_library_prints_is_reported() {
    let mut module = Module::from_buffer(&bound()).expect("it is a module");
    let printing = function(&mut module, "_ZN4core3num7flt2dec8strategy5grisu6format17h0123456789abcdefE", &[]);
    module.exports.add("printing", printing);
    let told = take_apart_by(&links(), &module.emit_wasm(), &[card()]).err().expect("it is refused");
    assert!(told.starts_with("core::num::flt2dec::strategy::grisu::format is linked"), "{told}");
}

#[test]
fn a_module_linked_without_relocations_is_refused() {
    let told = take_apart(&bound(), &bound(), &[card()]).err().expect("it is refused");
    assert!(told.contains("--emit-relocs"), "{told}");
}

#[test]
fn what_is_no_module_is_refused() {
    let told = take_apart(b"lawn", &bound(), &[]).err().expect("it is refused");
    assert!(told.contains("the linked core cannot be read"), "{told}");
    let told = take_apart_by(&links(), b"lawn", &[]).err().expect("it is refused");
    assert!(told.contains("the bound core cannot be read"), "{told}");
}
