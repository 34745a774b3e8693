// Tests of what was said last.

package journal

import (
	"fmt"
	"strings"
	"testing"
	"time"
)

func TestLatestSaid(t *testing.T) {
	dir := t.TempDir() + "/j"
	now := time.Date(2026, 1, 30, 20, 0, 0, 0, time.UTC)
	clock := func() time.Time { return now }
	if err := Create(dir, "x", "UTC", now); err != nil {
		t.Fatal(err)
	}
	j, err := OpenAt(dir, clock)
	if err != nil {
		t.Fatal(err)
	}
	for i := range 6 { // over two months
		if _, err := j.Append(NoteBody{Build: "lorry", Text: fmt.Sprint("note ", i), At: now}); err != nil {
			t.Fatal(err)
		}
		now = now.Add(12 * time.Hour)
	}
	brief, err := OpenBench(dir, clock)
	if err != nil {
		t.Fatal(err)
	}
	said, err := brief.LatestSaid(4)
	if err != nil || len(said) != 4 {
		t.Fatalf("%v, %v", said, err)
	}
	if _, err := j.Append(RetractBody{Record: said[1].ID(), Sum: said[1].Sum()}); err != nil {
		t.Fatal(err)
	}
	if said, err = j.LatestSaid(20); err != nil || len(said) != 6 {
		t.Fatalf("all: %v, %v", said, err)
	}
	for i, one := range said {
		if want := fmt.Sprintf(`"note %d"`, 5-i); !strings.Contains(string(one.Body), want) || one.Back != (i == 1) {
			t.Errorf("%d: %s, back %v; want %s", i, one.Body, one.Back, want)
		}
	}
}
