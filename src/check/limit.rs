//! When a count comes near its limit.

/// Whether `count` keeps `limit`, but has used up four fifths of it.
pub fn is_near(count: usize, limit: usize) -> bool {
    count <= limit && count * 5 >= limit * 4
}

#[cfg(test)]
mod tests {
    use super::is_near;

    #[test]
    fn near_is_from_four_fifths_up_to_the_limit() {
        let near = |limit: usize| (0..60).filter(|&count| is_near(count, limit)).collect::<Vec<_>>();
        assert_eq!(near(40), (32..=40).collect::<Vec<_>>());
        assert_eq!(near(5), [4, 5]);
        assert_eq!(near(3), [3]);
    }
}
