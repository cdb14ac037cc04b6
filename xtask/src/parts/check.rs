//! Checks what the linker recorded against the code: a constant that is not known to be needed would silently be
//! missing from a module.

use super::links::{Links, Named};
use walrus::ir::{self, Value, Visitor};
use walrus::{Function, FunctionKind, Module};

/// An address may be computed from a little before or after a constant: the end of a list, an index from 1, a member of
/// the entry before the first (a loop that steps first); entries are up to this large.
const NEAR: u32 = 192;
/// Numbers that mean "no letter": one above the last letter there is, and the next.
const NO_LETTER: std::ops::RangeInclusive<u32> = 0x11_0000..=0x11_0002;

/// How the standard library prints numbers with a fraction: 17 KB that every page of a calculator would load for one
/// `format!`, while `text::figures` writes such numbers in any case.
const PRINTING: &str = "core::num::flt2dec::";

struct Numbers(Vec<u32>);

impl<'instr> Visitor<'instr> for Numbers {
    fn visit_value(&mut self, value: &Value) {
        if let Value::I32(number) = value {
            self.0.push(number.cast_unsigned());
        }
    }
}

/// Every number in the code that could be the address of a constant is one of those that the function is known to name,
/// and no number with a fraction is printed by the standard library.
///
/// # Errors
/// The function and the number, if it is not; the function that prints.
pub(super) fn check(module: &Module, links: &Links) -> Result<(), String> {
    let paths = module.funcs.iter().filter_map(|function| function.name.as_deref());
    let mut paths = paths.map(|name| format!("{:#}", rustc_demangle::demangle(name)));
    if let Some(path) = paths.find(|path| path.starts_with(PRINTING)) {
        return Err(format!(
            "{path} is linked: a number with a fraction is printed by `format!`, not by `text::figures`"
        ));
    }
    let from = links.pieces.iter().map(|piece| piece.address).min().unwrap_or_default();
    let to = links.pieces.iter().map(|piece| piece.address + piece.size).max().unwrap_or_default();
    let none = Named::default();
    for function in module.funcs.iter() {
        let named = function.name.as_deref().and_then(|name| links.by_function.get(name)).unwrap_or(&none);
        let near =
            |number: u32| {
                named.pieces.iter().map(|piece| &links.pieces[*piece]).any(|piece| {
                    (piece.address.saturating_sub(NEAR)..=piece.address + piece.size + NEAR).contains(&number)
                })
            };
        let unknown = |number: &u32| (from..to).contains(number) && !NO_LETTER.contains(number) && !near(*number);
        if let Some(number) = numbers(function).into_iter().find(unknown) {
            let name = function.name.as_deref().unwrap_or("a function without a name");
            return Err(format!("{name} uses {number:#x}, and the linker did not write down which constant that is"));
        }
    }
    Ok(())
}

fn numbers(function: &Function) -> Vec<u32> {
    let mut numbers = Numbers(Vec::new());
    if let FunctionKind::Local(local) = &function.kind {
        ir::dfs_in_order(&mut numbers, local, local.entry_block());
    }
    numbers.0
}
