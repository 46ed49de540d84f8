//! A value in the tree of a scenario that knows its path.

use jiff::civil::Date;

use crate::scenario::json::{Node, Value};
use crate::scenario::schema_words::join;
use crate::units::{Kind, dates};

/// A value with its path.
#[derive(Clone)]
pub(super) struct At<'a> {
    pub(super) path: String,
    pub(super) node: &'a Node,
}

impl<'a> At<'a> {
    pub(super) fn root(node: &'a Node) -> Self {
        Self {
            path: String::new(),
            node,
        }
    }

    /// The value under a key.
    pub(super) fn get(&self, key: &str) -> Option<Self> {
        Some(Self {
            node: self.node.get(key)?,
            path: join(&self.path, key),
        })
    }

    /// The value under keys that are parted by points.
    pub(super) fn down(&self, keys: &str) -> Option<Self> {
        keys.split('.')
            .try_fold(self.clone(), |at, key| at.get(key))
    }

    pub(super) fn has(&self, key: &str) -> bool {
        self.node.get(key).is_some()
    }

    /// The entries of a list under keys; none if it is missing.
    pub(super) fn list(&self, keys: &str) -> Vec<Self> {
        let Some(list) = self.down(keys) else {
            return Vec::new();
        };
        let items = list.node.items().iter().enumerate();
        items
            .map(|(number, node)| Self {
                path: format!("{}[{number}]", list.path),
                node,
            })
            .collect()
    }

    /// The single key of a kind and what stands under it, if that is an object.
    pub(super) fn kind(&self) -> Option<(&'a str, Self)> {
        let Value::Object(members) = &self.node.value else {
            return None;
        };
        let [member] = members.as_slice() else {
            return None;
        };
        matches!(member.value.value, Value::Object(_)).then(|| {
            let inside = Self {
                path: join(&self.path, &member.key),
                node: &member.value,
            };
            (member.key.as_str(), inside)
        })
    }

    pub(super) fn text(&self) -> Option<&'a str> {
        self.node.text()
    }

    pub(super) fn is(&self, word: &str) -> bool {
        self.text() == Some(word)
    }

    pub(super) fn number(&self) -> Option<f64> {
        self.node.number()
    }

    pub(super) fn amount(&self, kind: Kind) -> Option<f64> {
        self.node.amount(kind)
    }

    /// A quantity under keys, SI.
    pub(super) fn amount_of(&self, keys: &str, kind: Kind) -> Option<f64> {
        self.down(keys)?.amount(kind)
    }

    pub(super) fn date(&self) -> Option<Date> {
        dates::date(self.text()?).ok()
    }
}
