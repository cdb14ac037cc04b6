//! Who refers to what in a linked module: read from what the linker recorded (`--emit-relocs`).
//!
//! Calls are in the code itself. What does not show there is which constant a number is the address of, and which
//! function a slot of the table: the relocations say so exactly.

use std::collections::{BTreeMap, BTreeSet};
use wasmparser::{
    DataKind, KnownCustom, Linking, Name, Operator, Parser, Payload, RelocSectionReader, RelocationType, SymbolInfo,
};

/// A constant in memory, as the compiler named it.
#[derive(Clone, Debug)]
pub(super) struct Piece {
    /// Its name, mangled.
    pub(super) name: String,
    /// Its address in memory.
    pub(super) address: u32,
    /// How long it is, bytes.
    pub(super) size: u32,
}

/// What something names: constants by their place in the list, functions by their mangled name.
#[derive(Clone, Debug, Default)]
pub(super) struct Named {
    /// Constants.
    pub(super) pieces: BTreeSet<usize>,
    /// Functions whose slot in the table it holds.
    pub(super) functions: BTreeSet<String>,
}

/// Everything that the linker recorded.
#[derive(Debug, Default)]
pub(super) struct Links {
    /// Constants.
    pub(super) pieces: Vec<Piece>,
    /// What each function names, by its mangled name.
    pub(super) by_function: BTreeMap<String, Named>,
    /// What each constant names.
    pub(super) by_piece: Vec<Named>,
    /// Constants that say where in the source a panic is: file, line and column.
    pub(super) places: BTreeSet<usize>,
}

/// How long such a constant is: address and length of the file's name, line, column.
const PLACE_SIZE: u32 = 16;

/// Where something is in the file, and what.
struct Spans<T>(Vec<(usize, usize, T)>);

impl<T: Copy> Spans<T> {
    fn at(&self, offset: usize) -> impl Iterator<Item = T> {
        self.0.iter().filter(move |(from, to, _)| (*from..*to).contains(&offset)).map(|(.., what)| *what)
    }
}

impl Links {
    /// Reads a module that was linked with `--emit-relocs`.
    ///
    /// # Errors
    /// A module that cannot be read, or whose linker recorded nothing.
    pub(super) fn read(linked: &[u8]) -> Result<Links, String> {
        let links = read(linked).map_err(|why| format!("the linked core cannot be read: {why}"))?;
        // Without them every constant would seem to be needed by nobody.
        if links.by_function.is_empty() || links.pieces.is_empty() {
            return Err(
                "the linked core says nothing of what refers to what: was it linked with --emit-relocs?".to_owned()
            );
        }
        Ok(links)
    }
}

/// Sections, as far as they matter here.
#[derive(Default)]
struct Sections<'a> {
    /// Start of the code section's contents, and each function's span, by its index.
    code: usize,
    bodies: Vec<(usize, usize, u32)>,
    imported: u32,
    /// Names of functions, by index.
    names: BTreeMap<u32, String>,
    /// Start of the data section's contents, and of each segment: in the file, in memory.
    data: usize,
    segments: Vec<(usize, u32)>,
    symbols: Vec<SymbolInfo<'a>>,
    relocations: Vec<(String, RelocSectionReader<'a>)>,
}

fn read(linked: &[u8]) -> Result<Links, wasmparser::BinaryReaderError> {
    let found = sections(linked)?;
    let mut links = Links::default();
    let mut piece_of: BTreeMap<u32, usize> = BTreeMap::new();
    let mut function_of: BTreeMap<u32, String> = BTreeMap::new();
    let mut held: Vec<(usize, usize, usize)> = Vec::new();
    for (index, symbol) in (0u32..).zip(&found.symbols) {
        match symbol {
            SymbolInfo::Data { name, symbol: Some(place), .. } => {
                let Some((file, memory)) = found.segments.get(place.index as usize) else { continue };
                piece_of.insert(index, links.pieces.len());
                let from = file + place.offset as usize;
                held.push((from, from + place.size as usize, links.pieces.len()));
                let (name, address) = ((*name).to_owned(), memory + place.offset);
                links.pieces.push(Piece { name, address, size: place.size });
            }
            // A function may have several symbols; the binding knows it by one name.
            SymbolInfo::Func { index: function, .. } => {
                function_of.extend(found.names.get(function).map(|name| (index, name.clone())));
            }
            _ => {}
        }
    }
    links.by_piece = vec![Named::default(); links.pieces.len()];
    let text = |piece: usize| held.get(piece).and_then(|(from, to, _)| linked.get(*from..*to)).unwrap_or_default();
    let sources: BTreeSet<usize> = (0..links.pieces.len())
        .filter(|piece| text(*piece).ends_with(b".rs\0") || text(*piece).ends_with(b".rs"))
        .collect();
    let (bodies, held) = (Spans(found.bodies), Spans(held));
    for (section, relocations) in &found.relocations {
        for entry in relocations.entries() {
            let entry = entry?;
            let mut named = Named::default();
            match entry.ty {
                RelocationType::MemoryAddrLeb | RelocationType::MemoryAddrSleb | RelocationType::MemoryAddrI32 => {
                    named.pieces.extend(piece_of.get(&entry.index));
                }
                RelocationType::TableIndexSleb | RelocationType::TableIndexI32 => {
                    named.functions.extend(function_of.get(&entry.index).cloned());
                }
                _ => continue,
            }
            if section == "reloc.CODE" {
                for function in bodies.at(found.code + entry.offset as usize) {
                    if let Some(name) = found.names.get(&function) {
                        links.by_function.entry(name.clone()).or_default().add(&named);
                    }
                }
            } else {
                // Texts that share their end overlap: the address belongs to all of them.
                for piece in held.at(found.data + entry.offset as usize) {
                    links.by_piece[piece].add(&named);
                }
            }
        }
    }
    links.places = (0..links.pieces.len())
        .filter(|piece| {
            let named = &links.by_piece[*piece];
            links.pieces[*piece].size == PLACE_SIZE && named.functions.is_empty() && !named.pieces.is_disjoint(&sources)
        })
        .collect();
    Ok(links)
}

impl Named {
    fn add(&mut self, more: &Named) {
        self.pieces.extend(&more.pieces);
        self.functions.extend(more.functions.iter().cloned());
    }
}

fn sections(linked: &[u8]) -> Result<Sections<'_>, wasmparser::BinaryReaderError> {
    let mut found = Sections::default();
    for payload in Parser::new(0).parse_all(linked) {
        match payload? {
            Payload::ImportSection(imports) => {
                for import in imports.into_imports() {
                    found.imported += u32::from(matches!(import?.ty, wasmparser::TypeRef::Func(_)));
                }
            }
            Payload::CodeSectionStart { range, .. } => found.code = range.start,
            Payload::CodeSectionEntry(body) => {
                #[allow(clippy::cast_possible_truncation, reason = "an index of the format is 32 bits wide")]
                let index = found.imported + found.bodies.len() as u32;
                found.bodies.push((body.range().start, body.range().end, index));
            }
            Payload::DataSection(segments) => {
                found.data = segments.range().start;
                for segment in segments {
                    let segment = segment?;
                    let base = match segment.kind {
                        DataKind::Active { offset_expr, .. } => match offset_expr.get_operators_reader().read()? {
                            Operator::I32Const { value } => value.cast_unsigned(),
                            _ => 0,
                        },
                        DataKind::Passive => 0,
                    };
                    found.segments.push((segment.range.end - segment.data.len(), base));
                }
            }
            Payload::CustomSection(custom) => match custom.as_known() {
                KnownCustom::Linking(linking) => {
                    for part in linking.subsections() {
                        if let Linking::SymbolTable(symbols) = part? {
                            found.symbols = symbols.into_iter().collect::<Result<_, _>>()?;
                        }
                    }
                }
                KnownCustom::Name(names) => {
                    for part in names {
                        if let Name::Function(functions) = part? {
                            for function in functions {
                                let function = function?;
                                found.names.insert(function.index, function.name.to_owned());
                            }
                        }
                    }
                }
                KnownCustom::Reloc(relocations) => found.relocations.push((custom.name().to_owned(), relocations)),
                _ => {}
            },
            _ => {}
        }
    }
    Ok(found)
}
