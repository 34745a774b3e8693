// What lies in the inbox, told with its reason.

package inbox

import (
	"context"
	"strings"
	"testing"

	"rakelight/journal/wording"
)

func TestLying(t *testing.T) {
	j := bench(t)
	in := New(j, Options{})
	if rows, err := in.Lying(context.Background()); err != nil || len(rows) != 0 {
		t.Errorf("%v, %v", rows, err)
	}
	img, original := bigShot(t, 1)
	drop(t, j, "a.jpg", original)
	drop(t, j, "copy.jpg", sent(t, img))
	takeAll(t, j)
	drop(t, j, "new one.jpg", shot(t, 1))
	drop(t, j, "cut.jpg", original[:len(original)/2])
	drop(t, j, "notes.txt", []byte("masking tape"))
	drop(t, j, "aside/by-hand.jpg", shot(t, 2))
	rows, err := in.Lying(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, r := range rows {
		got = append(got, r.Kind+": "+r.File+": "+wording.ToDo(r.Why)+": "+r.Command)
	}
	want := []string{
		"unreadable: inbox/cut.jpg: the picture ends halfway; left in the inbox (copy it again, or move it out of the inbox): ",
		`not taken in: inbox/new one.jpg: it was not taken in yet: rakelight take "inbox/new one.jpg"`,
		"unreadable: inbox/notes.txt: this is not a picture; left in the inbox (copy it again, or move it out of the inbox): ",
		"set aside: inbox/aside/by-hand.jpg: it was put aside by hand; no reason is written down: rakelight take inbox/aside/by-hand.jpg",
	}
	if strings.Join(got, "\n") != strings.Join(want, "\n") {
		t.Errorf("got\n%s", strings.Join(got, "\n"))
	}
	if len(j.State.Photos) != 1 || !exists(j.Path("inbox/new one.jpg")) {
		t.Error("looking took something in")
	}
}

// Counted is what may be taken in, and nothing else.
func TestCount(t *testing.T) {
	j := bench(t)
	for _, name := range []string{"aside/attic/here.jpg", "hull/one.txt", "two.jpg", "two.jpg.part", "two.xmp", ".hidden", "~lock/three.jpg"} {
		drop(t, j, name, []byte("x"))
	}
	if n, err := New(j, Options{}).Count(); n != 2 || err != nil {
		t.Errorf("%d, %v; want hull/one.txt and two.jpg", n, err)
	}
}
