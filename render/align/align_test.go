// Tests of the page's door and of what it takes. What it does in a browser is
// tested with the commands.

package align

import (
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"rakelight/journal"
	"rakelight/media/scene"
)

func served(t *testing.T) (*Server, *journal.Journal) {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "j")
	if err := journal.Create(dir, "Bench", "UTC", time.Now()); err != nil {
		t.Fatal(err)
	}
	j, err := journal.Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	for i, name := range []string{"photos/a.jpg", "photos/b.jpg"} {
		if err := os.MkdirAll(j.Path("photos"), 0o755); err != nil {
			t.Fatal(err)
		}
		f, err := os.Create(j.Path(name))
		if err != nil {
			t.Fatal(err)
		}
		if err := scene.WriteJPEG(f, scene.Draw(scene.Shot{Width: 160, Height: 120, Seed: uint64(i)}), scene.Exif{Make: "Tarrow", Serial: "0042817"}); err != nil {
			t.Fatal(err)
		}
		if err := f.Close(); err != nil {
			t.Fatal(err)
		}
		if _, err := j.Append("photo", journal.PhotoBody{Hash: strings.Repeat(string(rune('a'+i)), 64), Path: name, Width: 160, Height: 120, Turn: 1}); err != nil {
			t.Fatal(err)
		}
	}
	s, err := Serve(t.Context(), j, j.State.Photos[0], j.State.Photos[1])
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = s.Close() })
	return s, j
}

func status(t *testing.T, req *http.Request) int {
	t.Helper()
	resp, err := http.DefaultClient.Do(req)
	if err != nil {
		t.Fatal(err)
	}
	defer resp.Body.Close()
	return resp.StatusCode
}

func TestDoor(t *testing.T) {
	s, j := served(t)
	u, err := url.Parse(s.URL)
	if err != nil {
		t.Fatal(err)
	}
	get := func(address, host string) int {
		req, err := http.NewRequest("GET", address, nil)
		if err != nil {
			t.Fatal(err)
		}
		req.Host = host
		return status(t, req)
	}
	for _, c := range []struct {
		address, host string
		want          int
	}{
		{s.URL, u.Host, 200},
		{s.URL + "page.js", u.Host, 200},
		{s.URL, "elsewhere.example", 403},
		{"http://" + u.Host + "/", u.Host, 404},
		{"http://" + u.Host + "/000000000000000000000000/", u.Host, 404},
		{s.URL + "fit?at=0.1,0.1=0.1,0.1", u.Host, 400},
		{s.URL + "fit?at=0.1,0.1=0.1,0.1+0.5,0.5=0.5,0.5", u.Host, 200},
	} {
		if got := get(c.address, c.host); got != c.want {
			t.Errorf("%s as %s: %d, want %d", c.address, c.host, got, c.want)
		}
	}
	post := func(at string) int {
		resp, err := http.PostForm(s.URL, url.Values{"at": {at}})
		if err != nil {
			t.Fatal(err)
		}
		defer resp.Body.Close()
		return resp.StatusCode
	}
	if code := post("0.1,0.1=0.1,0.1"); code != 400 || len(j.State.Points) != 0 {
		t.Errorf("one spot: %d, %v", code, j.State.Points)
	}
	// Sent twice, it is kept once.
	for range 2 {
		if code := post("0.1,0.1=0.1,0.1 0.5,0.5=0.5,0.5"); code != 200 {
			t.Errorf("two spots: %d", code)
		}
	}
	<-s.Saved
	if rec, _ := s.Said(); len(j.State.Points) != 1 || j.State.Points[0].Record != rec.ID() {
		t.Errorf("%+v", j.State.Points)
	}
}

func TestSpellAndParse(t *testing.T) {
	pairs := []journal.PointPair{{0.1, 0.25, 0.333, 0.5}, {0.9, 0.8, 0.7, 0.6}, {0, 1, 1, 0}}
	got, err := Parse(Spell(pairs))
	if err != nil || len(got) != 3 || got[0] != pairs[0] || got[2] != pairs[2] {
		t.Errorf("%v, %v", got, err)
	}
	for _, bad := range []string{"", "0.1,0.2", "0.1=0.2", "a,b=c,d 0.5,0.5=0.5,0.5", "0.1,0.1,0.1=0.1,0.1 0.5,0.5=0.5,0.5", "NaN,0=0,0 1,1=1,1"} {
		if got, err := Parse(bad); err == nil {
			t.Errorf("%q was read as %v", bad, got)
		}
	}
}

func TestFitSaysWhatIsLeft(t *testing.T) {
	a, b := &journal.Photo{Width: 1000, Height: 800}, &journal.Photo{Width: 2000, Height: 1600}
	words, err := Fit(a, b, []journal.PointPair{{0.1, 0.1, 0.1, 0.1}, {0.9, 0.1, 0.9, 0.1}, {0.9, 0.9, 0.9, 0.9}})
	if err != nil || words != "3 spots: scaled 2.00 times, turned by 0.0°; they are 0.0 of 2000 pixels off on average" {
		t.Errorf("%q, %v", words, err)
	}
	if _, err := Fit(&journal.Photo{}, b, []journal.PointPair{{0.1, 0.1, 0.1, 0.1}, {0.9, 0.1, 0.9, 0.1}}); err == nil {
		t.Error("a photo that cannot be shown was laid")
	}
}

// Pages that are opened while points are kept read the journal in peace: the race
// detector says whether they do.
func TestShownWhileKept(t *testing.T) {
	s, j := served(t)
	kept := make(chan struct{})
	var open sync.WaitGroup
	for range 8 {
		open.Go(func() {
			for more := true; more; {
				select {
				case <-kept:
					more = false
				default:
				}
				resp, err := http.Get(s.URL)
				if err != nil {
					t.Error(err)
					return
				}
				if err := resp.Body.Close(); err != nil || resp.StatusCode != 200 {
					t.Error(resp.Status, err)
				}
			}
		})
	}
	resp, err := http.PostForm(s.URL, url.Values{"at": {"0.1,0.1=0.1,0.1 0.5,0.5=0.5,0.5"}})
	close(kept)
	open.Wait()
	if err != nil {
		t.Fatal(err)
	}
	if err := resp.Body.Close(); err != nil {
		t.Fatal(err)
	}
	if len(j.State.Points) != 1 {
		t.Errorf("%+v", j.State.Points)
	}
}
