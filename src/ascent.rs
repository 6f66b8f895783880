//! The longest part of a list that never goes back: page numbers in their order, what is misread left out.

/// Places of a longest sequence of `values` that never descends, first to last (M. L. Fredman, On computing the length
/// of longest increasing subsequences, 1975).
pub fn longest<T: Ord>(values: &[T]) -> Vec<usize> {
    // For each length the sequence that ends with the least value: where it ends.
    let mut ends: Vec<usize> = Vec::new();
    let mut before: Vec<Option<usize>> = Vec::with_capacity(values.len());
    for (place, value) in values.iter().enumerate() {
        let length = ends.partition_point(|end| values.get(*end).is_some_and(|v| v <= value));
        before.push(length.checked_sub(1).and_then(|shorter| ends.get(shorter)).copied());
        match ends.get_mut(length) {
            Some(end) => *end = place,
            None => ends.push(place),
        }
    }
    let last = ends.last().copied();
    let mut kept: Vec<usize> =
        std::iter::successors(last, |place| before.get(*place).copied().flatten()).collect();
    kept.reverse();
    kept
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn the_number_out_of_order_is_found() {
        assert_eq!(longest(&[10, 12, 91, 15, 15, 20]), [0, 1, 3, 4, 5]);
        assert!(longest::<u32>(&[]).is_empty());
    }

    proptest! {
        /// Against all subsets of short lists.
        #[test]
        fn no_subset_in_order_is_longer(values in proptest::collection::vec(0u8..6, 0..10)) {
            let in_order = |places: &[usize]| places.windows(2).all(|p| values[p[0]] <= values[p[1]]);
            let subset = |bits: usize| -> Vec<usize> {
                (0..values.len()).filter(|place| bits >> place & 1 == 1).collect()
            };
            let most = (0..1usize << values.len())
                .map(subset)
                .filter(|places| in_order(places))
                .map(|places| places.len())
                .max();
            let kept = longest(&values);
            prop_assert!(in_order(&kept) && kept.windows(2).all(|p| p[0] < p[1]));
            prop_assert_eq!(Some(kept.len()), most);
        }
    }
}
