// How well groups that were found agree with those there are.

package pasttest

// RandIndex is the adjusted Rand index of two ways to put the same things into groups,
// named by a word for each thing: 1 where they are the same, 0 on average where one
// owes nothing to the other.
//
//	(Σ C(nij,2) − E) / ((Σ C(ai,2) + Σ C(bj,2))/2 − E),  E = Σ C(ai,2) · Σ C(bj,2) / C(n,2)
//
// Source: L. Hubert, P. Arabie, Comparing partitions, Journal of Classification 2
// (1985), 193–218, equation 5. Where all are of one group in both, or each alone in
// both, it is 1.
func RandIndex(a, b []string) float64 {
	both, ofA, ofB := map[[2]string]int{}, map[string]int{}, map[string]int{}
	for i := range a {
		both[[2]string{a[i], b[i]}]++
		ofA[a[i]]++
		ofB[b[i]]++
	}
	together, inA, inB := pairsIn(both), pairsIn(ofA), pairsIn(ofB)
	n := float64(len(a))
	expected := inA * inB / (n * (n - 1) / 2)
	if most := (inA + inB) / 2; most != expected {
		return (together - expected) / (most - expected)
	}
	return 1
}

// pairsIn is how many pairs are within groups of these sizes.
func pairsIn[K comparable](sizes map[K]int) (pairs float64) {
	for _, n := range sizes {
		pairs += float64(n) * float64(n-1) / 2
	}
	return pairs
}
