// Tests of the judging page: that it is blind, and that a verdict counts once.

package judge

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"io"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"rakelight/journal"
	"rakelight/media/scene"
	"rakelight/render/guard"
)

// served is the page over a journal with a like photo of each of two builds;
// one is upright and small, the other turned and of another shape.
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
	for i, build := range []string{"pilot-boat", "lorry"} {
		name := fmt.Sprintf("photos/2026/%s-%d.jpg", build, i)
		if err := os.MkdirAll(filepath.Dir(j.Path(name)), 0o755); err != nil {
			t.Fatal(err)
		}
		img := image.NewRGBA(image.Rect(0, 0, 160+80*i, 120))
		for y := range 120 {
			for x := range img.Rect.Dx() {
				img.Set(x, y, color.RGBA{uint8(x), uint8(y * 2), uint8(90 * i), 255})
			}
		}
		f, err := os.Create(j.Path(name))
		if err != nil {
			t.Fatal(err)
		}
		if err := scene.WriteJPEG(f, img, scene.Exif{Make: "Tarrow", Model: "T-24", Serial: "0042817", At: time.Date(2026, 3, 1+i, 20, 0, 0, 0, time.UTC)}); err != nil {
			t.Fatal(err)
		}
		if err := f.Close(); err != nil {
			t.Fatal(err)
		}
		if _, err := j.Append(journal.PhotoBody{Hash: strings.Repeat(string(rune('a'+i)), 64), Path: name, Name: filepath.Base(name), Width: []int{160, 120}[i], Height: []int{120, 240}[i],
			Turn: 1 + 5*i, Tags: journal.Tags{Build: build, Role: "finished", View: "left", Light: "raking"}}); err != nil {
			t.Fatal(err)
		}
	}
	ctx, stop := context.WithCancel(context.Background())
	t.Cleanup(stop)
	s, err := Serve(ctx, j, "", 1)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = s.Close() })
	return s, j
}

func get(t *testing.T, address string) (int, http.Header, []byte) {
	t.Helper()
	resp, err := http.Get(address)
	if err != nil {
		t.Fatal(err)
	}
	defer resp.Body.Close()
	body, err := io.ReadAll(resp.Body)
	if err != nil {
		t.Fatal(err)
	}
	return resp.StatusCode, resp.Header, body
}

var pictures = regexp.MustCompile(`/picture/([a-z0-9]{24})"`)
var token = regexp.MustCompile(`name="token" value="([a-z0-9]{24})"`)

// Nothing on the page, in its headers, its addresses or its files tells a
// build, a day, a camera, or the shape of the original.
func TestPageIsBlind(t *testing.T) {
	s, _ := served(t)
	_, head, html := get(t, s.URL)
	names := pictures.FindAllSubmatch(html, -1)
	if len(names) != 2 {
		t.Fatalf("%d pictures on the page:\n%s", len(names), html)
	}
	everything := string(html) + fmt.Sprint(head)
	for _, m := range names {
		code, head, data := get(t, s.URL+"picture/"+string(m[1]))
		if code != 200 {
			t.Fatalf("picture: %d", code)
		}
		cfg, err := jpeg.DecodeConfig(bytes.NewReader(data))
		if err != nil || cfg.Width != width || cfg.Height != height {
			t.Errorf("%v, %d × %d", err, cfg.Width, cfg.Height)
		}
		// After the start, a written-anew file begins with its tables: no
		// application segment holds anything.
		if !bytes.HasPrefix(data, []byte{0xff, 0xd8, 0xff, 0xdb}) {
			t.Errorf("the file begins % x", data[:6])
		}
		everything += string(data) + fmt.Sprint(head)
	}
	for _, telling := range []string{"pilot", "boat", "lorry", "Tarrow", "T-24", "0042817", "Exif", "2026:03", "2026-03", "photos/", strings.Repeat("a", 12), strings.Repeat("b", 12), "Last-Modified"} {
		if strings.Contains(everything, telling) {
			t.Errorf("%q can be read", telling)
		}
	}
}

func TestVerdictCountsOnce(t *testing.T) {
	s, j := served(t)
	_, _, html := get(t, s.URL)
	one, formToken := string(token.FindSubmatch(html)[1]), ""
	say := func(token, outcome string) int {
		sent := url.Values{"form": {formToken}, "token": {token}, "outcome": {outcome}}
		req, err := http.NewRequest(http.MethodPost, s.URL, strings.NewReader(sent.Encode()))
		if err != nil {
			t.Fatal(err)
		}
		req.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		req.Header.Set("Origin", "http://"+req.URL.Host)
		resp, err := http.DefaultClient.Do(req)
		if err != nil {
			t.Fatal(err)
		}
		defer resp.Body.Close()
		return resp.StatusCode
	}
	if code := say(one, "left"); code != http.StatusForbidden || len(j.State.Verdicts) != 0 {
		t.Errorf("without the form token: %d, %d verdicts", code, len(j.State.Verdicts))
	}
	formToken = string(regexp.MustCompile(`name="form" value="([^"]+)"`).FindSubmatch(html)[1])
	if code := say("000000000000000000000000", "left"); code != 200 || len(j.State.Verdicts) != 0 {
		t.Errorf("a token from elsewhere: %d, %d verdicts", code, len(j.State.Verdicts))
	}
	if code := say(one, "up"); code != http.StatusBadRequest {
		t.Errorf("an outcome that is none: %d", code)
	}
	for range 2 {
		say(one, "left")
	}
	if len(j.State.Verdicts) != 1 || j.State.Verdicts[0].Outcome != "left" || s.Said() != 1 {
		t.Errorf("%+v, %d said", j.State.Verdicts, s.Said())
	}
	if code, _, _ := get(t, s.URL+"picture/"+string(pictures.FindSubmatch(html)[1])); code != 404 {
		t.Errorf("the address of a picture is good after its pair: %d", code)
	}
}

func TestOnlyThisComputer(t *testing.T) {
	s, _ := served(t)
	req, err := http.NewRequest("GET", s.URL, nil)
	if err != nil {
		t.Fatal(err)
	}
	req.Host = "elsewhere.example"
	resp, err := http.DefaultClient.Do(req)
	if err != nil {
		t.Fatal(err)
	}
	defer resp.Body.Close()
	if resp.StatusCode != http.StatusForbidden || resp.Header.Get(guard.Refused) != "host" {
		t.Errorf("a name from elsewhere got %d", resp.StatusCode)
	}
}

// Photos that cannot be shown are passed over; without a pair the page says so.
func TestNoPair(t *testing.T) {
	s, j := served(t)
	for _, p := range j.State.Photos {
		if err := os.Remove(j.Path(p.Path)); err != nil {
			t.Fatal(err)
		}
	}
	if _, _, html := get(t, s.URL); !bytes.Contains(html, []byte("No pair to judge")) {
		t.Errorf("%s", html)
	}
}
