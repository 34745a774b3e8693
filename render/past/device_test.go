// Who may ask what: a post without the form's token, and a device that was let in.

package past

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"rakelight/render/guard"
)

// visitor asks the pages over the network.
type visitor struct {
	*testing.T
	at     string // with a slash at its end
	cookie *http.Cookie
	form   string
}

func (v *visitor) ask(method, path string, fields url.Values) (int, string) {
	v.Helper()
	r, err := http.NewRequestWithContext(v.Context(), method, strings.TrimSuffix(v.at, "/")+path, strings.NewReader(fields.Encode()))
	if err != nil {
		v.Fatal(err)
	}
	if method == http.MethodPost {
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		r.Header.Set("Origin", strings.TrimSuffix(v.at, "/"))
	}
	if v.cookie != nil {
		r.AddCookie(v.cookie)
	}
	client := http.Client{CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
	resp, err := client.Do(r)
	if err != nil {
		v.Fatal(err)
	}
	defer resp.Body.Close()
	body, err := io.ReadAll(resp.Body)
	if err != nil {
		v.Fatal(err)
	}
	if _, form, ok := strings.Cut(string(body), `data-form="`); ok {
		v.form, _, _ = strings.Cut(form, `"`)
	}
	return resp.StatusCode, string(body)
}

func TestPostsBringTheirToken(t *testing.T) {
	dir, pictures, _ := looked(t, 4, 3)
	pages := newPages(t, dir)
	server, err := guard.Serve(t.Context(), guard.Any, Policy, "no-store", pages.Handler())
	if err != nil {
		t.Fatal(err)
	}
	defer server.Close()
	v := &visitor{T: t, at: server.URL}
	v.ask(http.MethodGet, Root, nil)
	for _, path := range []string{"say", "bring", "stop", "look", "forget"} {
		if code, _ := v.ask(http.MethodPost, Root+path, url.Values{"folder": {pictures}}); code != http.StatusForbidden {
			t.Errorf("%s without a token: %d", path, code)
		}
		if code, _ := v.ask(http.MethodGet, Root+path, nil); code == http.StatusOK {
			t.Errorf("%s can be read", path)
		}
	}
	if code, _ := v.ask(http.MethodPost, Root+"look", url.Values{"folder": {pictures}, "form": {v.form}}); code != http.StatusSeeOther {
		t.Errorf("with its token: %d", code)
	}
	(&tried{t, pages, dir}).ended()
}

// A phone that was let in sees the pictures and says what they are, but names no folder
// of this computer and is not told where they lie.
func TestDevicesNameNoFolders(t *testing.T) {
	own := ownAddress()
	if own == "" {
		t.Skip("this computer is in no network: nobody but itself can ask it")
	}
	dir, pictures, _ := looked(t, 4, 3)
	sum := sha256.Sum256([]byte("token"))
	devices := fmt.Sprintf(`{"devices":[{"name":"phone","sum":%q,"since":"2026-03-14T19:00:00Z","seen":"2026-03-14"}]}`, hex.EncodeToString(sum[:]))
	if err := os.WriteFile(filepath.Join(dir, ".cache", "devices.json"), []byte(devices), 0o644); err != nil {
		t.Fatal(err)
	}
	pages := newPages(t, dir)
	server, err := guard.ServePaired(t.Context(), net.JoinHostPort(own, "0"), Policy, "no-store", guard.NewPairing(guard.DevicesOf(dir)), pages.Handler())
	if err != nil {
		t.Fatal(err)
	}
	defer server.Close()
	_, port, _ := net.SplitHostPort(strings.TrimSuffix(strings.TrimPrefix(server.Elsewhere[0], "http://"), "/"))
	v := &visitor{T: t, at: server.Elsewhere[0], cookie: &http.Cookie{Name: "rakelight-" + port, Value: "token"}}
	code, body := v.ask(http.MethodGet, Root, nil)
	if code != http.StatusOK || strings.Contains(body, pictures) || !strings.Contains(body, "on the computer itself") {
		t.Errorf("its first page: %d, %s", code, body)
	}
	for _, path := range []string{"look", "forget"} {
		if code, _ := v.ask(http.MethodPost, Root+path, url.Values{"folder": {pictures}, "form": {v.form}}); code != http.StatusForbidden {
			t.Errorf("%s: %d", path, code)
		}
	}
	l, err := lookAt(dir)
	if err != nil {
		t.Fatal(err)
	}
	of := l.bands()[0]
	if code, body := v.ask(http.MethodPost, Root+"say", url.Values{"do": {"name"}, "title": {"Pilot boat"}, "of": {of.id()}, "once": {newID()}, "form": {v.form}}); code != http.StatusSeeOther {
		t.Errorf("what it says: %d, %s", code, body)
	}
	if code, body := v.ask(http.MethodGet, of.address(), nil); code != http.StatusOK || strings.Contains(body, pictures) || strings.Contains(body, filepath.Dir(pictures)) {
		t.Errorf("the sheet: %d, or it tells where the pictures lie", code)
	}
	if err := pages.begin(workLine{Words: "Looking through", Folder: pictures}, waits); err != nil {
		t.Fatal(err)
	}
	if _, body := v.ask(http.MethodGet, Root+"work", nil); strings.Contains(body, pictures) || !strings.Contains(body, "Looking through") {
		t.Errorf("what goes on: %s", body)
	}
}

// ownAddress is an address of this computer that is not for itself alone, "" = none.
func ownAddress() string {
	all, err := net.InterfaceAddrs()
	if err != nil {
		return ""
	}
	for _, a := range all {
		if n, ok := a.(*net.IPNet); ok && n.IP.To4() != nil && !n.IP.IsLoopback() {
			return n.IP.String()
		}
	}
	return ""
}

// waits is something that goes on until it is stopped.
func waits(ctx context.Context, _ far) workLine {
	<-ctx.Done()
	return workLine{}
}
