//! Values by id, in the order of the ids.
//!
//! Every table of the log has the same index, whatever it holds, so the code that keeps an
//! index in order is in the core only once: a dozen maps of different values weighed more
//! than all that is said about concrete. Here is only what the log needs of a map.

use std::collections::BTreeMap;

/// Values by id, in the order of the ids.
#[derive(Clone, Debug)]
pub struct Table<T> {
    /// Where in `values` each one is.
    index: BTreeMap<String, usize>,
    values: Vec<T>,
}

/// A set of ids, in order.
pub type Ids = Table<()>;

impl Ids {
    /// Adds an id; `true` if it is new.
    pub fn add(&mut self, id: &str) -> bool {
        let new = !self.contains_key(id);
        if new {
            self.insert(id.to_owned(), ());
        }
        new
    }
}

impl<T> Default for Table<T> {
    fn default() -> Self {
        Self {
            index: BTreeMap::new(),
            values: Vec::new(),
        }
    }
}

impl<T> Table<T> {
    /// The value of an id.
    #[must_use]
    pub fn get(&self, id: &str) -> Option<&T> {
        self.values.get(*self.index.get(id)?)
    }

    /// The value of an id, to change it.
    pub fn get_mut(&mut self, id: &str) -> Option<&mut T> {
        self.values.get_mut(*self.index.get(id)?)
    }

    /// Whether there is such an id.
    #[must_use]
    pub fn contains_key(&self, id: &str) -> bool {
        self.index.contains_key(id)
    }

    /// Puts a value in place of the one that was there, if any; `true` if there was none.
    pub fn insert(&mut self, id: String, value: T) -> bool {
        match self.get_mut(&id) {
            Some(old) => {
                *old = value;
                false
            }
            None => {
                self.index.insert(id, self.values.len());
                self.values.push(value);
                true
            }
        }
    }

    /// Takes an id out. Its value is dropped with the table: this is for the odd few.
    pub fn remove(&mut self, id: &str) {
        self.index.remove(id);
    }

    /// Every id with its value.
    pub fn iter(&self) -> impl Iterator<Item = (&String, &T)> {
        let value = |(id, at): (_, &usize)| Some((id, self.values.get(*at)?));
        self.index.iter().filter_map(value)
    }

    /// Every id.
    pub fn keys(&self) -> impl Iterator<Item = &String> {
        self.index.keys()
    }

    /// Every value.
    pub fn values(&self) -> impl Iterator<Item = &T> {
        self.iter().map(|(_, value)| value)
    }

    /// How many there are.
    #[must_use]
    pub fn len(&self) -> usize {
        self.index.len()
    }

    /// Whether there is none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.index.is_empty()
    }
}

impl<T: Default> Table<T> {
    /// Changes the value of an id, a new one if there was none.
    pub fn change<R>(&mut self, id: &str, change: impl FnOnce(&mut T) -> R) -> R {
        if let Some(value) = self.get_mut(id) {
            return change(value);
        }
        let mut value = T::default();
        let result = change(&mut value);
        self.insert(id.to_owned(), value);
        result
    }
}

/// Two tables are alike when they hold the same, however they came to it.
impl<T: PartialEq> PartialEq for Table<T> {
    fn eq(&self, other: &Self) -> bool {
        self.iter().eq(other.iter())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_table_keeps_order_and_the_last_value() {
        let mut table = Table::default();
        for id in ["b", "a", "c"] {
            assert!(table.insert(id.to_owned(), id.len()));
        }
        assert!(!table.insert("a".to_owned(), 7));
        table.change("d", |n| *n += 2);
        table.change("a", |n| *n += 2);
        table.remove("b");
        table.remove("nobody");
        let all: Vec<(&str, usize)> = table.iter().map(|(id, v)| (id.as_str(), *v)).collect();
        assert_eq!(all, [("a", 9), ("c", 1), ("d", 2)]);
        assert_eq!(table.keys().collect::<Vec<_>>(), ["a", "c", "d"]);
        assert_eq!((table.len(), table.is_empty()), (3, false));
        assert_eq!((table.get("b"), table.contains_key("b")), (None, false));
        // What was taken out can come again.
        assert!(table.insert("b".to_owned(), 5));
        assert_eq!(table.get("b"), Some(&5));
    }

    #[test]
    fn tables_are_alike_by_what_they_hold() {
        let (mut one, mut other) = (Table::default(), Table::default());
        one.insert("a".to_owned(), 1);
        one.insert("b".to_owned(), 2);
        other.insert("b".to_owned(), 2);
        assert_ne!(one, other);
        other.insert("x".to_owned(), 9);
        other.insert("a".to_owned(), 1);
        other.remove("x");
        assert_eq!(one, other);
    }
}
