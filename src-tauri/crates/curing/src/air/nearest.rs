//! A value that is known at some hours and taken from the nearest of them in between.
//!
//! For what has no sensible course of its own between two notes: moisture, wind, sky.
//! No interpolation; ties go to the earlier note. Temperature is in [`super`].

/// Known values in the order of their hours.
#[derive(Clone, Debug)]
pub(crate) struct Nearest<T> {
    known: Vec<(f64, T)>,
}

impl<T> Default for Nearest<T> {
    fn default() -> Self {
        Nearest { known: Vec::new() }
    }
}

impl<T: Copy> Nearest<T> {
    pub(crate) fn of(mut known: Vec<(f64, T)>) -> Self {
        known.sort_by(|a, b| a.0.total_cmp(&b.0));
        Nearest { known }
    }

    pub(crate) fn at(&self, h: f64) -> Option<T> {
        self.with_distance(h).map(|k| k.0)
    }

    /// With the hours to where it is known.
    pub(crate) fn with_distance(&self, h: f64) -> Option<(T, f64)> {
        let i = self.known.partition_point(|k| k.0 <= h);
        let before = i.checked_sub(1).and_then(|j| self.known.get(j));
        let nearest = match (before, self.known.get(i)) {
            (Some(a), Some(b)) => {
                if h - a.0 <= b.0 - h {
                    a
                } else {
                    b
                }
            }
            (a, b) => a.or(b)?,
        };
        Some((nearest.1, (h - nearest.0).abs()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_nearest_note_counts() {
        let n = Nearest::of(vec![(10.0, 'b'), (0.0, 'a')]);
        assert_eq!(
            [-5.0, 4.0, 5.0, 6.0, 99.0].map(|h| n.at(h)),
            [Some('a'), Some('a'), Some('a'), Some('b'), Some('b')]
        );
        assert_eq!(Nearest::<char>::default().at(0.0), None);
    }
}
