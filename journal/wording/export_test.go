package wording

import "testing"

// Scramble has every reason worded as nonsense until the test ends.
func Scramble(t *testing.T) {
	const nonsense = "qwx"
	was := unknown
	unknown = nonsense
	t.Cleanup(func() { unknown = was })
	scramble(t, whys, nonsense)
	scramble(t, doubtWords, nonsense)
	scramble(t, lengths, nonsense)
	scramble(t, ends, nonsense)
	scramble(t, links, nonsense)
}

func scramble[K comparable, V any](t *testing.T, table map[K]func(V) string, words string) {
	for code, say := range table {
		table[code] = func(V) string { return words }
		t.Cleanup(func() { table[code] = say })
	}
}
