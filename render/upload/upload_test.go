// Tests of photos that a page sends, behind a guard as in the program.

package upload

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"rakelight/media/inbox"
	"rakelight/render/guard"
)

// page is a page that sends photos.
type page struct {
	*testing.T
	inbox, url, form string
}

func served(t *testing.T, where func(*http.Request) ([]string, error)) *page {
	t.Helper()
	p := &page{T: t, inbox: filepath.Join(t.TempDir(), "inbox")}
	mux := http.NewServeMux()
	mux.Handle("/bench/photo", Handler(inbox.NewComing(p.inbox), where))
	mux.HandleFunc("GET /{$}", func(w http.ResponseWriter, r *http.Request) { _, _ = io.WriteString(w, guard.Form(r)) })
	s, err := guard.Serve(t.Context(), guard.Any, "default-src 'none'", "no-store", mux)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = s.Close() })
	p.url = s.URL
	resp, err := http.Get(s.URL)
	if err != nil {
		t.Fatal(err)
	}
	defer resp.Body.Close()
	form, err := io.ReadAll(resp.Body)
	if err != nil {
		t.Fatal(err)
	}
	p.form = string(form)
	return p
}

// sends sends a piece of a photo.
func (p *page) sends(photo []byte, offset, end int, more url.Values) (int, Answer) {
	p.Helper()
	sum := sha256.Sum256(photo)
	q := url.Values{"name": {"IMG_0412.jpg"}, "size": {strconv.Itoa(len(photo))}, "hash": {hex.EncodeToString(sum[:])}, "offset": {strconv.Itoa(offset)}}
	for name, values := range more {
		q[name] = values
	}
	req, err := http.NewRequest(http.MethodPost, p.url+"bench/photo?"+q.Encode(), bytes.NewReader(photo[offset:end]))
	if err != nil {
		p.Fatal(err)
	}
	req.Header.Set("Origin", strings.TrimSuffix(p.url, "/"))
	req.Header.Set(guard.FormHeader, p.form)
	resp, err := http.DefaultClient.Do(req)
	if err != nil {
		p.Fatal(err)
	}
	defer resp.Body.Close()
	var a Answer
	if resp.Header.Get(guard.Refused) == "" {
		if err := json.NewDecoder(resp.Body).Decode(&a); err != nil {
			p.Fatal(resp.Status, err)
		}
	}
	return resp.StatusCode, a
}

func TestUpload(t *testing.T) {
	p := served(t, nil)
	photo := bytes.Repeat([]byte("0123456789abcdef"), 3*Piece/16/2) // one piece and a half
	to := url.Values{"build": {"pilot-boat"}, "stage": {"clean"}, "role": {"before"}, "view": {"left"}, "light": {"raking"}}
	if code, a := p.sends(photo, 0, 0, to); code != 200 || a.Have != 0 || a.Whole {
		t.Errorf("asked: %d %+v", code, a)
	}
	if code, a := p.sends(photo, 0, Piece, to); code != 200 || a.Have != Piece || a.Whole {
		t.Errorf("the first piece: %d %+v", code, a)
	}
	// A page that was loaded anew knows nothing of it, and asks.
	if code, a := p.sends(photo, 0, 0, to); code != http.StatusConflict || a.Have != Piece {
		t.Errorf("asked again: %d %+v", code, a)
	}
	file := filepath.Join(p.inbox, "pilot-boat", "clean", "before", "left", "raking", "IMG_0412.jpg")
	if _, err := os.Stat(file); err == nil {
		t.Error("half of it lies in the inbox")
	}
	for range 2 { // the answer got lost
		if code, a := p.sends(photo, Piece, len(photo), to); code != 200 || !a.Whole {
			t.Errorf("the rest: %d %+v", code, a)
		}
	}
	if got, err := os.ReadFile(file); err != nil || !bytes.Equal(got, photo) {
		t.Errorf("%d bytes, %v", len(got), err)
	}
}

func TestUploadRefuses(t *testing.T) {
	p := served(t, nil)
	photo := bytes.Repeat([]byte("x"), 2*Piece)
	for _, c := range []struct {
		what string
		end  int
		more url.Values
		want int
	}{
		{"a piece that is too large", Piece + 1, nil, http.StatusRequestEntityTooLarge},
		{"a folder above", 1, url.Values{"build": {".."}}, 400},
		{"two folders in one", 1, url.Values{"build": {"a/b"}}, 400},
		{"a folder that is not walked", 1, url.Values{"build": {".coming"}}, 400},
		{"no photo", 1, url.Values{"name": {"run.sh"}}, 400},
		{"no size", 1, url.Values{"size": {"many"}}, 400},
		{"a size below nothing", 1, url.Values{"size": {"-1"}}, 400},
		{"a size beyond all", 1, url.Values{"size": {"99999999999"}}, 400},
		{"no hash", 1, url.Values{"hash": {"../../x"}}, 400},
		{"an offset below nothing", 1, url.Values{"offset": {"-1"}}, 400},
	} {
		if code, a := p.sends(photo, 0, c.end, c.more); code != c.want || a.Whole || a.Error == "" {
			t.Errorf("%s: %d %+v", c.what, code, a)
		}
	}
	// Without the form token nothing is even begun.
	form := p.form
	p.form = ""
	other := []byte("of another")
	if code, _ := p.sends(other, 0, len(other), nil); code != http.StatusForbidden {
		t.Errorf("without the form token: %d", code)
	}
	p.form = form
	if code, a := p.sends(other, 0, 0, nil); code != 200 || a.Have != 0 {
		t.Errorf("it was kept: %d %+v", code, a)
	}
	err := filepath.WalkDir(p.inbox, func(path string, d os.DirEntry, err error) error {
		if err == nil && !d.IsDir() && filepath.Base(filepath.Dir(path)) != ".coming" {
			return fmt.Errorf("%s lies there", path)
		}
		return err
	})
	if err != nil {
		t.Error(err)
	}
}

// Whoever knows the builds says where a photo belongs, or that it belongs nowhere.
func TestUploadAsksWhere(t *testing.T) {
	p := served(t, func(r *http.Request) ([]string, error) {
		if r.URL.Query().Get("build") != "lorry" {
			return nil, errors.New("there is no such build")
		}
		return []string{"lorry"}, nil
	})
	photo := []byte("small")
	if code, a := p.sends(photo, 0, len(photo), nil); code != 400 || a.Error != "there is no such build" {
		t.Errorf("%d %+v", code, a)
	}
	if code, a := p.sends(photo, 0, len(photo), url.Values{"build": {"lorry"}}); code != 200 || !a.Whole {
		t.Errorf("%d %+v", code, a)
	}
	resp, err := http.Get(p.url + "bench/photo")
	if err != nil {
		t.Fatal(err)
	}
	defer resp.Body.Close()
	if resp.StatusCode != http.StatusMethodNotAllowed {
		t.Errorf("read: %s", resp.Status)
	}
}
