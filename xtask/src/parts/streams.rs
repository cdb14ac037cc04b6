//! A module's bytes taken into streams of alike ones, and what need not be written down left out: lengths, hints, which
//! function is lent next, the local that was just named. `calc-wasm/unpack` puts them together again.

use tankside_unpack::{GET_FORMER, GET_LATEST, LONG_NUMBER, SET_LATEST, STREAMS, lent_name};
use wasmparser::{
    BinaryReader, DataKind, DataSectionReader, ExportSectionReader, ExternalKind, FunctionBody, Operator,
};

/// Streams of alike bytes, in the order in which they are joined.
#[derive(Clone, Copy)]
pub(super) enum Stream {
    /// All that is in no other: sections with their lengths; of code, constants and what is exported their counts, the
    /// constants themselves, and what is exported by a name of its own.
    Frame,
    /// How many locals of which type each function has.
    Locals,
    /// First bytes of instructions.
    Code,
    BlockType,
    Branch,
    Call,
    Local,
    Offset,
    Number,
    /// Numbers that take three bytes or more: addresses of constants, nearly all.
    Address,
    Targets,
    /// Globals, types and tables of indirect calls, memories.
    Other,
    Long,
    Float,
    /// How far each stretch of constants is from the one before, and how long it is.
    Segments,
    /// Functions that the core lends: how far each is from the one before.
    Lent,
}

const _: () = assert!(Stream::Lent as usize + 1 == STREAMS, "`calc-wasm/unpack` knows the same streams");
const NUMBER: u8 = 0x41;
/// From how many bytes on a number counts as an address.
const ADDRESS_BYTES: usize = 3;
const EXPORT_SECTION: u8 = 7;
const CODE_SECTION: u8 = 10;
const DATA_SECTION: u8 = 11;
/// A module begins with so many bytes: what it is, and its version.
pub(super) const HEADER: usize = 8;

/// A module's bytes by stream.
pub(super) type Streams = [Vec<u8>; STREAMS];

/// Takes a module apart.
///
/// # Errors
/// A module that is not WebAssembly, or that `calc-wasm/unpack` could not put together.
pub(super) fn apart(module: &[u8]) -> Result<Streams, String> {
    let mut streams: Streams = std::array::from_fn(|_| Vec::new());
    let frame = Stream::Frame as usize;
    streams[frame].extend_from_slice(module.get(..HEADER).ok_or("it is too short")?);
    let mut at = HEADER;
    while at < module.len() {
        let from = at;
        let id = module[at];
        at += 1;
        let length = number(module, &mut at)?;
        let section = module.get(at..at + length).ok_or("a section is longer than the module")?;
        match id {
            CODE_SECTION => {
                let mut inner = 0;
                let functions = number(section, &mut inner)?;
                streams[frame].push(id);
                streams[frame].extend_from_slice(&section[..inner]);
                for _ in 0..functions {
                    let length = number(section, &mut inner)?;
                    let body = section.get(inner..inner + length).ok_or("a function is longer than its section")?;
                    function(body, &mut streams)?;
                    inner += length;
                }
            }
            DATA_SECTION => constants(section, &mut streams)?,
            EXPORT_SECTION => exports(section, &mut streams)?,
            _ => streams[frame].extend_from_slice(&module[from..at + length]),
        }
        at += length;
    }
    Ok(streams)
}

/// Where constants go is said by how far it is from the end of those before; the linker leaves them in this order.
fn constants(section: &[u8], streams: &mut Streams) -> Result<(), String> {
    let mut end = 0;
    let reader = DataSectionReader::new(BinaryReader::new(section, 0)).map_err(|why| why.to_string())?;
    streams[Stream::Frame as usize].push(DATA_SECTION);
    put_number(&mut streams[Stream::Frame as usize], reader.count());
    for segment in reader {
        let segment = segment.map_err(|why| why.to_string())?;
        let DataKind::Active { memory_index: 0, offset_expr } = segment.kind else {
            return Err("constants are not in the core's memory".to_owned());
        };
        let Ok(Operator::I32Const { value }) = offset_expr.get_operators_reader().read() else {
            return Err("where constants go is not a number".to_owned());
        };
        let gap = value.cast_unsigned().checked_sub(end).ok_or("constants are not in the order of their places")?;
        let length = u32::try_from(segment.data.len()).map_err(|why| why.to_string())?;
        put_number(&mut streams[Stream::Segments as usize], gap);
        put_number(&mut streams[Stream::Segments as usize], length);
        streams[Stream::Frame as usize].extend_from_slice(segment.data);
        end += gap + length;
    }
    Ok(())
}

/// Exports by name as they are; those at the end that are lent, in the order of the functions, without their names.
fn exports(section: &[u8], streams: &mut Streams) -> Result<(), String> {
    let reader = ExportSectionReader::new(BinaryReader::new(section, 0)).map_err(|why| why.to_string())?;
    let count = reader.count();
    let places: Vec<_> = reader
        .into_iter_with_offsets()
        .collect::<Result<_, _>>()
        .map_err(|why: wasmparser::BinaryReaderError| why.to_string())?;
    let named = places.iter().take_while(|(_, export)| export.name.as_bytes() != lent_name(0)).count();
    let (first, end) =
        (places.first().map_or(0, |held| held.0), places.get(named).map_or(section.len(), |held| held.0));
    let bytes = &section[first..end];
    let frame = &mut streams[Stream::Frame as usize];
    frame.push(EXPORT_SECTION);
    put_number(frame, u32::try_from(bytes.len()).map_err(|why| why.to_string())?);
    put_number(frame, u32::try_from(places.len() - named).map_err(|why| why.to_string())?);
    put_number(frame, count);
    frame.extend_from_slice(bytes);
    let mut function = 0;
    for (index, (_, export)) in places[named..].iter().enumerate() {
        if export.kind != ExternalKind::Func || export.name.as_bytes() != lent_name(index) {
            return Err(format!("`{}` is exported where a function that is lent was to be next", export.name));
        }
        let further = export.index.checked_sub(function).ok_or("functions are not lent in their order")?;
        put_number(&mut streams[Stream::Lent as usize], further);
        function = export.index;
    }
    Ok(())
}

fn function(body: &[u8], streams: &mut Streams) -> Result<(), String> {
    let reader = FunctionBody::new(BinaryReader::new(body, 0));
    let mut operators = reader.get_operators_reader().map_err(|why| why.to_string())?;
    streams[Stream::Locals as usize].extend_from_slice(&body[..operators.original_position()]);
    let mut locals = Locals::default();
    while !operators.eof() {
        let from = operators.original_position();
        let operator = operators.read().map_err(|why| why.to_string())?;
        if let Some(code) = locals.again(&operator) {
            streams[Stream::Code as usize].push(code);
        } else {
            instruction(&body[from..operators.original_position()], streams)?;
        }
    }
    Ok(())
}

/// The two locals of a function that were named last: every other time it is one of them.
#[derive(Default)]
struct Locals {
    latest: Option<u32>,
    former: Option<u32>,
}

impl Locals {
    /// What stands for an instruction whose local is one of them; remembers its local if it has one.
    fn again(&mut self, operator: &Operator<'_>) -> Option<u8> {
        let (Operator::LocalGet { local_index: local }
        | Operator::LocalSet { local_index: local }
        | Operator::LocalTee { local_index: local }) = *operator
        else {
            return None;
        };
        let of = |held: Option<u32>| held == Some(local);
        let code = match operator {
            Operator::LocalGet { .. } if of(self.latest) => Some(GET_LATEST),
            Operator::LocalSet { .. } if of(self.latest) => Some(SET_LATEST),
            Operator::LocalGet { .. } if of(self.former) => Some(GET_FORMER),
            _ => None,
        };
        if !of(self.latest) {
            self.former = self.latest.replace(local);
        }
        code
    }
}

/// One instruction: its first byte, and what follows by what it is.
fn instruction(bytes: &[u8], streams: &mut Streams) -> Result<(), String> {
    use Stream::{Address, BlockType, Branch, Call, Float, Local, Long, Number, Offset, Other, Targets};
    let (code, rest) = bytes.split_first().ok_or("an instruction is empty")?;
    let mut first = *code;
    let (into, rest) = match *code {
        // How an address is aligned is a hint; the page writes that nothing is known of it.
        0x28..=0x3E => {
            let mut skipped = 0;
            number(rest, &mut skipped)?;
            (Offset, &rest[skipped..])
        }
        0x20..=0x22 => (Local, rest),
        NUMBER if rest.len() >= ADDRESS_BYTES => {
            first = LONG_NUMBER;
            (Address, rest)
        }
        NUMBER => (Number, rest),
        0x42 => (Long, rest),
        0x43 | 0x44 => (Float, rest),
        0x10 => (Call, rest),
        0x02..=0x04 => (BlockType, rest),
        0x0C | 0x0D => (Branch, rest),
        0x0E => (Targets, rest),
        0x11 | 0x23 | 0x24 | 0x3F | 0x40 => (Other, rest),
        // Copying and filling memory, and numbers cut to the nearest that fits.
        0xFC if rest.first().is_some_and(|kind| *kind < 8 || matches!(kind, 10 | 11)) => (Other, rest),
        _ if rest.is_empty() => (Other, rest),
        _ => return Err(format!("calc-wasm/unpack does not know the instruction {bytes:02x?}")),
    };
    streams[Stream::Code as usize].push(first);
    streams[into as usize].extend_from_slice(rest);
    Ok(())
}

/// Writes a whole number as WebAssembly does.
fn put_number(to: &mut Vec<u8>, mut number: u32) {
    while number > 127 {
        to.push(number as u8 & 127 | 128);
        number >>= 7;
    }
    to.push(number as u8);
}

/// A whole number as WebAssembly writes it.
pub(super) fn number(bytes: &[u8], at: &mut usize) -> Result<usize, String> {
    let mut reader = BinaryReader::new(bytes.get(*at..).unwrap_or_default(), 0);
    let value = reader.read_var_u32().map_err(|why| why.to_string())?;
    *at += reader.original_position();
    usize::try_from(value).map_err(|why| why.to_string())
}

#[cfg(test)]
pub(super) mod tests {
    use super::*;

    /// A module with one function: `(i32.store align=4 offset=5 (local.get 0) (i32.const 1_000_000))`, `i32.const 7`.
    pub(in crate::parts) const MODULE: &[u8] =
        b"\0asm\x01\0\0\0\x0a\x11\x01\x0f\x01\x01\x7f\x20\0\x41\xc0\x84\x3d\x36\x02\x05\x41\x07\x0b";

    #[test]
    fn alike_bytes_come_together_and_hints_and_lengths_go() {
        let streams = apart(MODULE).expect("it is a module");
        let of = |stream: Stream| streams[stream as usize].as_slice();
        assert_eq!(of(Stream::Frame), b"\0asm\x01\0\0\0\x0a\x01");
        assert_eq!(of(Stream::Locals), b"\x01\x01\x7f");
        assert_eq!(of(Stream::Code), b"\x20\xfe\x36\x41\x0b");
        assert_eq!((of(Stream::Local), of(Stream::Offset)), (&b"\0"[..], &b"\x05"[..]));
        assert_eq!((of(Stream::Number), of(Stream::Address)), (&b"\x07"[..], &b"\xc0\x84\x3d"[..]));
        assert_eq!(streams.concat().len(), MODULE.len() - 3, "two lengths and an alignment");
    }

    #[test]
    fn a_local_that_was_just_named_is_not_written_down() {
        use Operator::{LocalGet, LocalSet, LocalTee, Nop};
        let (get, set) = (|local_index| LocalGet { local_index }, |local_index| LocalSet { local_index });
        let mut locals = Locals::default();
        let codes = [get(5), set(5), Nop, set(7), get(5), get(7), LocalTee { local_index: 7 }, get(7), set(5)];
        let codes = codes.map(|operator| locals.again(&operator));
        let (latest, former) = (Some(GET_LATEST), Some(GET_FORMER));
        assert_eq!(codes, [None, Some(SET_LATEST), None, None, former, former, None, latest, None]);
    }

    #[test]
    fn what_is_not_in_order_is_refused() {
        let head = b"\0asm\x01\0\0\0";
        for (section, why) in [
            (&b"\x07\x0b\x02\x02@@\0\x03\x02@A\0\x02"[..], "not lent in their order"),
            (b"\x07\x0b\x02\x02@@\0\x03\x02@C\0\x04", "`@C` is exported"),
            (b"\x0b\x0d\x02\0\x41\x10\x0b\x01a\0\x41\x10\x0b\x01a", "not in the order"),
            (b"\x0b\x04\x01\x01\x01a", "not in the core's memory"),
        ] {
            let told = apart(&[head, section].concat()).expect_err("it is refused");
            assert!(told.contains(why), "{told}");
        }
    }
}
