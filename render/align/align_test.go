// Tests of the page's door and of what it takes. What it does in a browser is
// tested with the commands.

package align

import (
	"io"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
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
		if _, err := j.Append(journal.PhotoBody{Hash: strings.Repeat(string(rune('a'+i)), 64), Path: name, Width: 160, Height: 120, Turn: 1}); err != nil {
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
	as := func(address, host string) int {
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
		if got := as(c.address, c.host); got != c.want {
			t.Errorf("%s as %s: %d, want %d", c.address, c.host, got, c.want)
		}
	}
	keep := func(at string) int { return post(t, s.URL, url.Values{"at": {at}}) }
	if code := keep("0.1,0.1=0.1,0.1"); code != 400 || len(j.State.Points) != 0 {
		t.Errorf("one spot: %d, %v", code, j.State.Points)
	}
	// Sent twice, it is kept once.
	for range 2 {
		if code := keep("0.1,0.1=0.1,0.1 0.5,0.5=0.5,0.5"); code != 200 {
			t.Errorf("two spots: %d", code)
		}
	}
	<-s.Saved
	if said := s.Said(); len(j.State.Points) != 1 || j.State.Points[0].Record != said.Records[0].ID() {
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

// The page takes what typed spots may be, and nothing else: spots that are hardly
// the same are kept only if they are meant.
func TestPageRefusesWhatTypedSpotsRefuse(t *testing.T) {
	s, j := served(t)
	const apart = "0.2,0.2=0.8,0.3 0.8,0.3=0.2,0.5 0.5,0.8=0.4,0.1"
	const turned = "0.2,0.2=0.8,0.8 0.8,0.8=0.2,0.2"
	for _, spots := range []string{apart, turned} {
		if code := get(t, s.URL+"fit?at="+url.QueryEscape(spots)); code != 409 {
			t.Errorf("%s: looked at: %d, want a conflict", spots, code)
		}
		if code := post(t, s.URL, url.Values{"at": {spots}}); code != 409 || len(j.State.Points) != 0 {
			t.Errorf("%s: saved: %d, %v", spots, code, j.State.Points)
		}
	}
	if code := post(t, s.URL, url.Values{"at": {turned}, "anyway": {"yes"}}); code != 200 || len(j.State.Points) != 1 {
		t.Errorf("meant: %d, %v", code, j.State.Points)
	}
}

func get(t *testing.T, address string) int {
	t.Helper()
	resp, err := http.Get(address)
	if err != nil {
		t.Fatal(err)
	}
	defer resp.Body.Close()
	return resp.StatusCode
}

// post sends a form as the page does.
func post(t *testing.T, address string, form url.Values) int {
	t.Helper()
	form.Set("form", formToken(t, address))
	req, err := http.NewRequest(http.MethodPost, address, strings.NewReader(form.Encode()))
	if err != nil {
		t.Fatal(err)
	}
	req.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	req.Header.Set("Origin", "http://"+req.URL.Host)
	return status(t, req)
}

// formToken is the token that the page has; a page that says what was saved has none.
func formToken(t *testing.T, address string) string {
	t.Helper()
	resp, err := http.Get(address)
	if err != nil {
		t.Fatal(err)
	}
	defer resp.Body.Close()
	page, err := io.ReadAll(resp.Body)
	if err != nil {
		t.Fatal(err)
	}
	if m := regexp.MustCompile(`name="form" value="([^"]+)"`).FindSubmatch(page); m != nil {
		tokens[address] = string(m[1])
	}
	return tokens[address]
}

// tokens are those of pages that were opened before.
var tokens = map[string]string{}

// Without what only the page knows nothing is kept.
func TestPostsOfOthersAreRefused(t *testing.T) {
	s, j := served(t)
	resp, err := http.PostForm(s.URL, url.Values{"at": {"0.1,0.1=0.1,0.1 0.5,0.5=0.5,0.5"}})
	if err != nil {
		t.Fatal(err)
	}
	if err := resp.Body.Close(); err != nil || resp.StatusCode != http.StatusForbidden || len(j.State.Points) != 0 {
		t.Errorf("%s, %v, %d kept", resp.Status, err, len(j.State.Points))
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
	code := post(t, s.URL, url.Values{"at": {"0.1,0.1=0.1,0.1 0.5,0.5=0.5,0.5"}})
	close(kept)
	open.Wait()
	if code != http.StatusOK || len(j.State.Points) != 1 {
		t.Errorf("%+v", j.State.Points)
	}
}
