// What a language has no words for: said in English, marked, and listed.

package say

import (
	"slices"
	"strings"
)

// firstMark is the mark of the first key that has no words; those of the others follow.
// They are of Unicode's private use planes: no text of anybody's means anything by them.
const (
	firstMark = '\U000F0000'
	lastMark  = '\U000FFFFD'
)

// noteUnsaid is the mark of a key without words.
func (s *Speaker) noteUnsaid(key Key) string {
	s.lock.Lock()
	defer s.lock.Unlock()
	n, ok := s.number[key]
	if !ok {
		n = len(s.unsaid)
		s.number[key] = n
		s.unsaid = append(s.unsaid, key)
	}
	return string(min(firstMark+rune(n), lastMark))
}

// Unmarked is a page without its marks, and the keys that had no words on it, each once.
func (s *Speaker) Unmarked(page []byte) ([]byte, []Key) {
	text := string(page)
	if !strings.ContainsFunc(text, isMark) {
		return page, nil
	}
	s.lock.Lock()
	defer s.lock.Unlock()
	var keys []Key
	text = strings.Map(func(r rune) rune {
		if !isMark(r) {
			return r
		}
		if n := int(r - firstMark); n < len(s.unsaid) && !slices.Contains(keys, s.unsaid[n]) {
			keys = append(keys, s.unsaid[n])
		}
		return -1
	}, text)
	slices.Sort(keys)
	return []byte(text), keys
}

func isMark(r rune) bool { return r >= firstMark && r <= lastMark }
