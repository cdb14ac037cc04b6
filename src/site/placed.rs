//! Blocks of questions as pages hold them, each made once: many lessons may place the same bank in the same way.

use super::fault::Fault;
use crate::markdown::Questions;
use std::collections::HashMap;
use std::sync::{Arc, Mutex, PoisonError};

/// Bytes of blocks that are kept. A course whose lessons each place a bank of their own gains nothing from more.
const MOST: usize = 2 * 1024 * 1024;

/// What decides how a block looks: the banks with how many of each are asked, the share to pass as written, whether it
/// counts, and whether each question names the lesson that teaches it.
#[derive(Debug, PartialEq, Eq, Hash)]
struct Key {
    banks: Vec<(String, Option<u32>)>,
    pass: Option<String>,
    counts: bool,
    taught: bool,
}

/// The blocks that were made so far.
#[derive(Debug, Default)]
pub(super) struct Blocks(Mutex<BlockStore>);

#[derive(Debug, Default)]
struct BlockStore {
    made: HashMap<Key, Arc<str>>,
    bytes: usize,
}

impl Blocks {
    /// The block for `written`, made by `make` unless it is known. Two threads may make the same one at once; they make
    /// the same bytes.
    pub(super) fn block(
        &self,
        written: &Questions,
        taught: bool,
        make: impl FnOnce() -> Result<String, Fault>,
    ) -> Result<Arc<str>, Fault> {
        let banks = written.banks().map(|(bank, ask)| (bank.to_owned(), ask)).collect();
        let key = Key { banks, pass: written.pass.clone(), counts: written.counts, taught };
        if let Some(made) = self.with_store(|store| store.made.get(&key).cloned()) {
            return Ok(made);
        }
        let made: Arc<str> = make()?.into();
        self.with_store(|store| {
            if store.bytes + made.len() <= MOST && store.made.insert(key, Arc::clone(&made)).is_none() {
                store.bytes += made.len();
            }
        });
        Ok(made)
    }

    fn with_store<R>(&self, with: impl FnOnce(&mut BlockStore) -> R) -> R {
        // Nothing is left half done by a panic in here.
        with(&mut self.0.lock().unwrap_or_else(PoisonError::into_inner))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn written(bank: &str, ask: Option<u32>) -> Questions {
        Questions {
            bank: bank.to_owned(),
            ask,
            ask_place: 0..0,
            pass: None,
            pass_place: 0..0,
            counts: false,
            also: Vec::new(),
            place: 0..0,
        }
    }

    #[test]
    fn a_block_is_made_once_and_another_way_of_placing_it_is_another_block() {
        let blocks = Blocks::default();
        let block = |ask, taught, text: &str| {
            blocks.block(&written("gun", ask), taught, || Ok(text.to_owned())).expect("it is made").to_string()
        };
        assert_eq!(block(None, false, "first"), "first");
        assert_eq!(block(None, false, "again"), "first");
        assert_eq!(block(Some(2), false, "two"), "two");
        assert_eq!(block(None, true, "taught"), "taught");
        let counts = Questions { counts: true, ..written("gun", None) };
        assert_eq!(&*blocks.block(&counts, false, || Ok("counts".to_owned())).expect("it is made"), "counts");
        assert!(blocks.block(&written("tank", None), false, || Err("no".to_owned().into())).is_err());
    }

    #[test]
    fn only_so_many_bytes_are_kept() {
        let blocks = Blocks::default();
        let large = "x".repeat(MOST);
        for name in ["a", "b"] {
            blocks.block(&written(name, None), false, || Ok(large.clone())).expect("it is made");
        }
        let again = blocks.block(&written("b", None), false, || Ok("made again".to_owned())).expect("it is made");
        assert_eq!(&*again, "made again");
    }
}
