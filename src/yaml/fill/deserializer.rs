//! A value as serde asks for it: text, number, list, mapping or one of several words.

use serde::de::{self, IntoDeserializer, Visitor};
use serde::forward_to_deserialize_any;

use super::fields::{Fields, Items, fields};
use super::unexpected::{KEYS, LIST, WHOLE};
use super::{At, Place, Stop};

macro_rules! whole_numbers {
    ($($method:ident $visit:ident $type:ty),*) => {$(
        fn $method<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Stop> {
            visitor.$visit(self.number::<$type>(WHOLE, |text| text.parse().ok()))
        }
    )*};
}

impl<'de: 'a, 'a> de::Deserializer<'de> for Place<'a> {
    type Error = Stop;

    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Stop> {
        match self.at {
            At::Node(node) if node.text().is_some() => self.deserialize_str(visitor),
            At::Node(node) if node.entries().is_empty() => self.deserialize_seq(visitor),
            At::Node(_) => self.deserialize_map(visitor),
            At::Missing(..) | At::GivenUp => visitor.visit_unit(),
        }
    }

    fn deserialize_ignored_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Stop> {
        visitor.visit_unit()
    }

    fn deserialize_bool<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Stop> {
        const EXPECTED: &str = "true or false";
        let off = matches!(self.at, At::Node(node) if node.text().is_some_and(|text| {
            ["no", "off", "n", "never", "0", "false"].iter().any(|word| text.trim().eq_ignore_ascii_case(word))
        }));
        let help = || {
            self.named(|key| match off {
                true => format!("write `{key}: false`"),
                false => format!("write `{key}: true` or leave the line out"),
            })
        };
        let value = match self.at {
            At::Node(node) => match node.text() {
                Some("true") => Some(true),
                Some("false") => Some(false),
                _ => None,
            },
            At::Missing(..) | At::GivenUp => None,
        };
        if value.is_none() {
            self.wrong(EXPECTED, help());
        }
        visitor.visit_bool(value.unwrap_or(false))
    }

    whole_numbers! {
        deserialize_u8 visit_u8 u8, deserialize_u16 visit_u16 u16, deserialize_u32 visit_u32 u32,
        deserialize_u64 visit_u64 u64
    }

    fn deserialize_f64<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Stop> {
        let finite = |text: &str| text.parse().ok().filter(|number: &f64| number.is_finite());
        visitor.visit_f64(self.number("a number", finite))
    }

    fn deserialize_str<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Stop> {
        visitor.visit_str(self.scalar("text").unwrap_or_default())
    }

    fn deserialize_string<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Stop> {
        self.deserialize_str(visitor)
    }

    fn deserialize_option<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Stop> {
        match self.at {
            At::Node(node) if !node.is_empty() => visitor.visit_some(self),
            _ => visitor.visit_none(),
        }
    }

    fn deserialize_newtype_struct<V: Visitor<'de>>(self, _: &'static str, visitor: V) -> Result<V::Value, Stop> {
        visitor.visit_newtype_struct(self)
    }

    fn deserialize_seq<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Stop> {
        let items = match self.at {
            At::Node(node) if node.is_list() => node.items(),
            _ => {
                self.wrong(LIST, self.as_list());
                &[]
            }
        };
        visitor.visit_seq(Items::new(self.filling, items))
    }

    fn deserialize_map<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Stop> {
        let entries = match self.at {
            At::Node(node) if node.is_map() => node.entries(),
            _ => {
                self.wrong(KEYS, None);
                &[]
            }
        };
        let fields = entries.iter().map(|entry| (entry.key.as_str(), At::Node(&entry.node), Some(entry))).collect();
        visitor.visit_map(Fields::new(self.filling, fields))
    }

    fn deserialize_struct<V: Visitor<'de>>(
        self,
        _: &'static str,
        names: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Stop> {
        let given_up = || names.iter().map(|name| (*name, At::GivenUp, None)).collect();
        let fields = match self.at {
            At::Node(node) if node.is_map() && self.is_named_entries(node, names) => given_up(),
            At::Node(node) if node.is_map() => fields(self.filling, node, self.key, names),
            At::Node(node) if node.is_list() && self.key.is_none() => {
                self.list_of_file(node, names).unwrap_or_else(|| {
                    self.wrong(KEYS, self.as_keys(names));
                    given_up()
                })
            }
            At::Missing(..) | At::Node(_) => {
                self.wrong(KEYS, self.as_keys(names));
                given_up()
            }
            At::GivenUp => given_up(),
        };
        visitor.visit_map(Fields::new(self.filling, fields))
    }

    fn deserialize_enum<V: Visitor<'de>>(
        self,
        _: &'static str,
        words: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Stop> {
        let first = words.first().copied().unwrap_or_default();
        let written = match self.at {
            At::Node(node) => match node.text().filter(|_| !node.is_empty()) {
                Some(text) if words.contains(&text) => text,
                Some(text) => {
                    self.unknown_word(node, text, words);
                    first
                }
                None => {
                    self.wrong("one word", None);
                    first
                }
            },
            At::Missing(..) | At::GivenUp => {
                self.wrong("one word", None);
                first
            }
        };
        visitor.visit_enum(IntoDeserializer::<Stop>::into_deserializer(written))
    }

    forward_to_deserialize_any! {
        i8 i16 i32 i64 i128 u128 f32 char bytes byte_buf unit unit_struct tuple tuple_struct identifier
    }
}
