//! Tracks: lines that run side by side without touching.

/// The track of each span, and how many tracks there are, by the left-edge algorithm (Hashimoto and
/// Stevens 1971): from the left, each span takes the first track that is free.
pub fn tracks(spans: &[(i64, i64)]) -> (Vec<usize>, usize) {
    /// Between two spans of one track.
    const APART: i64 = 15;
    let mut order: Vec<usize> = (0..spans.len()).collect();
    order.sort_by_key(|&at| (spans[at], at));
    let mut ends: Vec<i64> = Vec::new();
    let mut tracks = vec![0; spans.len()];
    for at in order {
        let (begins, end) = spans[at];
        let free = ends.iter().position(|&taken| taken + APART <= begins);
        let track = free.unwrap_or_else(|| {
            ends.push(end);
            ends.len() - 1
        });
        ends[track] = end;
        tracks[at] = track;
    }
    (tracks, ends.len())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn spans_that_touch_take_different_tracks() {
        assert_eq!(tracks(&[(0, 100), (50, 80), (120, 200), (96, 130)]), (vec![0, 1, 0, 1], 2));
        assert_eq!(tracks(&[]), (vec![], 0));
    }
}
