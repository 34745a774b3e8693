// What a page elsewhere, a device that was not let in, and one that was and should
// not be any longer, try.

package guard

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"strings"
	"testing"
	"time"
)

// house is a gate before a page that counts what is written, and the network it is in.
type house struct {
	*testing.T
	gate    *gate
	pairing *Pairing
	devices Devices
	wrote   int
	now     time.Time
}

const (
	ourIP    = "192.0.2.20" // of this computer, in the network (RFC 5737)
	phoneIP  = "192.0.2.31"
	ourHost  = ourIP + ":8765"
	ourPages = "http://" + ourHost
)

func open(t *testing.T) *house {
	t.Helper()
	h := &house{T: t, devices: DevicesOf(t.TempDir()), now: time.Date(2026, 3, 14, 19, 0, 0, 0, time.UTC)}
	h.pairing = NewPairing(h.devices)
	h.pairing.now = func() time.Time { return h.now }
	h.gate = newGate("default-src 'none'", "no-store", h.pairing, http.HandlerFunc(h.page))
	h.gate.port = 8765
	h.gate.secret.make()
	h.pairing.reachedAt([]string{ourPages + "/"})
	return h
}

// page is what is guarded: to read it gives the form token, a post writes.
func (h *house) page(w http.ResponseWriter, r *http.Request) {
	if r.Method == http.MethodPost {
		if r.URL.Path == "/large" {
			AllowBody(r, 200<<10)
		}
		if _, err := io.Copy(io.Discard, r.Body); err != nil {
			errLarge.answer(w)
			return
		}
		h.wrote++
	}
	d, _ := Device(r)
	fmt.Fprintf(w, "private %s %s", d.Name, Form(r))
}

// request is one as a browser on another device makes it, to be changed.
func request(method, path, cookie string, form url.Values) *http.Request {
	r := httptest.NewRequest(method, path, strings.NewReader(form.Encode()))
	r.Host, r.RemoteAddr = ourHost, phoneIP+":40000"
	r = r.WithContext(context.WithValue(r.Context(), http.LocalAddrContextKey, &net.TCPAddr{IP: net.ParseIP(ourIP), Port: 8765}))
	if cookie != "" {
		r.AddCookie(&http.Cookie{Name: cookieName(8765), Value: cookie})
	}
	if method == http.MethodPost {
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		r.Header.Set("Origin", ourPages)
	}
	return r
}

func (h *house) asks(r *http.Request) *httptest.ResponseRecorder {
	w := httptest.NewRecorder()
	h.gate.ServeHTTP(w, r)
	return w
}

// code is the one that the terminal shows.
func (h *house) code() string {
	h.pairing.mu.Lock()
	defer h.pairing.mu.Unlock()
	return h.pairing.code
}

// types types a code on the page of the pairing.
func (h *house) types(code, name string) *httptest.ResponseRecorder {
	h.gate.bounds = bounds{}
	page := h.asks(request("GET", "/pair", "", nil)).Body.String()
	_, form, _ := strings.Cut(page, `name="form" value="`)
	form, _, _ = strings.Cut(form, `"`)
	return h.asks(request("POST", "/pair", "", url.Values{"form": {form}, "code": {code}, "name": {name}}))
}

// lets lets a device in: its cookie and form token.
func (h *house) lets(name string) (cookie, form string) {
	h.Helper()
	h.asks(request("GET", "/pair", "", nil)) // has a code made where none holds
	w := h.types(h.code(), name)
	if w.Code != http.StatusSeeOther {
		h.Fatalf("%d: %s", w.Code, w.Body)
	}
	set := w.Result().Cookies()
	if len(set) != 1 || !set[0].HttpOnly || set[0].SameSite != http.SameSiteStrictMode || set[0].Path != "/" || set[0].MaxAge != 365*24*60*60 || len(set[0].Value) < 43 {
		h.Fatalf("%+v", set)
	}
	page := h.asks(request("GET", "/", set[0].Value, nil)).Body.String()
	return set[0].Value, page[strings.LastIndex(page, " ")+1:]
}

// refuses looks that nothing was shown or written, and why.
func (h *house) refuses(what string, r *http.Request, why string) {
	h.Helper()
	before := h.wrote
	w := h.asks(r)
	if got := w.Header().Get(Refused); got != why || w.Code < 400 || strings.Contains(w.Body.String(), "private") || h.wrote != before {
		h.Errorf("%s: %d, refused for %q, not %q: %s", what, w.Code, got, why, w.Body)
	}
	if w.Code >= 400 && r.Method != "HEAD" && !strings.Contains(w.Body.String(), "<h1>") {
		h.Errorf("%s: no page says why: %s", what, w.Body)
	}
}

func TestADeviceIsLetIn(t *testing.T) {
	h := open(t)
	// A person who opens the pages is led to where the code is typed; a script is told.
	w := h.asks(request("GET", "/", "", nil))
	if w.Code != http.StatusSeeOther || w.Header().Get("Location") != "/pair" {
		t.Errorf("%d to %s", w.Code, w.Header().Get("Location"))
	}
	r := request("GET", "/", "", nil)
	r.Header.Set("Accept", "application/json")
	h.refuses("a script", r, "device")
	cookie, form := h.lets(" Ann's\x00 phone\u202e ")
	if w := h.asks(request("GET", "/", cookie, nil)); w.Code != 200 || !strings.HasPrefix(w.Body.String(), "private Ann's phone ") {
		t.Errorf("%d %s", w.Code, w.Body)
	}
	w = h.asks(request("POST", "/", cookie, url.Values{"form": {form}}))
	if w.Code != 200 || h.wrote != 1 {
		t.Errorf("%d, %d written", w.Code, h.wrote)
	}
	// A code is of one device.
	old := h.pairing.News()
	if len(old) < 2 || old[len(old)-1].Let != "Ann's phone" {
		t.Errorf("%+v", old)
	}
	if w := h.types(old[0].Code, "another"); w.Code != http.StatusForbidden {
		t.Errorf("the same code again: %d", w.Code)
	}
	// The next has another name; the file holds no token.
	h.lets("ann's PHONE")
	data, err := os.ReadFile(h.devices.path)
	if err != nil || strings.Contains(string(data), cookie) || !strings.Contains(string(data), "ann's PHONE 2") {
		t.Errorf("%s, %v", data, err)
	}
}

// A name elsewhere may be made to lead here (DNS rebinding): no name is answered, and
// no number that is not the one the request came in at.
func TestOtherHosts(t *testing.T) {
	h := open(t)
	cookie, form := h.lets("phone")
	for host, good := range map[string]bool{ourHost: true, ourIP: true, "pages.example": false, "pages.example:8765": false, "192.0.2.21:8765": false, "localhost:8765": false,
		"127.0.0.1:8765": false, "": false, ourIP + ".pages.example": false, "[2001:db8::1]:8765": false, "3221225994": false, "0300.0.02.024": false, ourIP + "@pages.example": false} {
		for _, method := range []string{"GET", "POST"} {
			r := request(method, "/", cookie, url.Values{"form": {form}})
			r.Host = host
			r.Header.Set("Origin", "http://"+host)
			if !good {
				h.refuses(method+" as "+host, r, "host")
			} else if w := h.asks(r); w.Code != 200 {
				t.Errorf("%s as %s: %d", method, host, w.Code)
			}
		}
	}
	// This computer is answered by the names of the loopback.
	for host, good := range map[string]bool{"localhost:8765": true, "127.0.0.1:8765": true, "[::1]:8765": true, "pages.example:8765": false} {
		r := request("GET", "/", "", nil)
		r.Host, r.RemoteAddr = host, "127.0.0.1:40000"
		if w := h.asks(r); (w.Code == 200) != good {
			t.Errorf("here, as %s: %d", host, w.Code)
		}
	}
}

func TestPostsFromElsewhere(t *testing.T) {
	h := open(t)
	cookie, form := h.lets("phone")
	for _, c := range []string{cookie, ""} {
		for origin, site := range map[string]string{"http://pages.example": "cross-site", "null": "", "": "", "http://" + ourIP + ":80": "same-site", "https://" + ourHost: "",
			"http://" + ourHost + ".pages.example": "", ourHost: "", "http://localhost:8765": "", "%": ""} {
			r := request("POST", "/", c, url.Values{"form": {form}})
			if r.Header.Del("Origin"); origin != "" {
				r.Header.Set("Origin", origin)
			}
			if site != "" {
				r.Header.Set("Sec-Fetch-Site", site)
			}
			why := "origin"
			if c == "" && site == "" {
				why = "device"
			}
			h.refuses(fmt.Sprintf("a post from %q, cookie %t", origin, c != ""), r, why)
		}
	}
	// A picture or a script of a page here is no part of one elsewhere.
	for mode, want := range map[string]int{"no-cors": 403, "cors": 403, "navigate": 200} {
		r := request("GET", "/", cookie, nil)
		r.Header.Set("Sec-Fetch-Site", "cross-site")
		r.Header.Set("Sec-Fetch-Mode", mode)
		if w := h.asks(r); w.Code != want {
			t.Errorf("%s from elsewhere: %d", mode, w.Code)
		}
	}
	// On this computer no token is asked for, and the same holds.
	r := request("POST", "/", "", url.Values{})
	r.Host, r.RemoteAddr = "127.0.0.1:8765", "127.0.0.1:40000"
	h.refuses("a post to the loopback from elsewhere", r, "origin")
	r = request("POST", "/", "", url.Values{"form": {form}})
	r.Host, r.RemoteAddr = "127.0.0.1:8765", "127.0.0.1:40000"
	r.Header.Set("Origin", "http://127.0.0.1:8765")
	h.refuses("a post to the loopback with another's form token", r, "form")
}

func TestFormTokens(t *testing.T) {
	h := open(t)
	cookie, form := h.lets("phone")
	_, other := h.lets("tablet")
	run := open(t)
	_, earlier := run.lets("phone")
	for what, token := range map[string]string{"none": "", "of another device": other, "of another run": earlier, "cut": form[:len(form)-1], "longer": form + "A", "odd": "\x00"} {
		h.refuses("a form token: "+what, request("POST", "/", cookie, url.Values{"form": {token}}), "form")
		r := request("POST", "/", cookie, nil)
		r.Header.Set(FormHeader, token)
		h.refuses("a header: "+what, r, "form")
	}
	r := request("POST", "/", cookie, nil)
	r.Header.Set("Content-Type", "text/plain") // a body that any form elsewhere can send
	h.refuses("a body of another kind", r, "form")
	r = request("POST", "/?form="+form, cookie, nil)
	h.refuses("a token in the address", r, "form")
	r = request("POST", "/", cookie, nil)
	r.Header.Set(FormHeader, form)
	r.Header.Set("Content-Type", "application/json")
	if w := h.asks(r); w.Code != 200 || h.wrote != 1 {
		t.Errorf("by header: %d, %d", w.Code, h.wrote)
	}
}

func TestForgottenDevice(t *testing.T) {
	h := open(t)
	cookie, form := h.lets("phone")
	kept, _ := h.lets("tablet")
	if !h.still(cookie) {
		t.Error("a device that is let in is not still so")
	}
	// By another process, whose name for it differs in its capitals.
	if err := (Devices{h.devices.path}).Forget("Phone"); err != nil {
		t.Fatal(err)
	}
	h.refuses("a post of a device that was taken out", request("POST", "/", cookie, url.Values{"form": {form}}), "device")
	r := request("GET", "/", cookie, nil)
	r.Header.Set("Accept", "*/*")
	h.refuses("a script of it", r, "device")
	if h.still(cookie) || !h.still(kept) {
		t.Error("a stream does not hear of it")
	}
	if w := h.asks(request("GET", "/", kept, nil)); w.Code != 200 {
		t.Errorf("the other device: %d", w.Code)
	}
	if err := h.devices.Forget("phone"); err == nil || !strings.Contains(err.Error(), "tablet") {
		t.Errorf("%v", err)
	}
	// To note that it was seen does not bring it back.
	if err := h.devices.sawToday(sumOf(cookie)[:32], "2026-03-15"); err != nil {
		t.Fatal(err)
	}
	if all, err := h.devices.All(); err != nil || len(all) != 1 || all[0].Name != "tablet" {
		t.Errorf("%+v, %v", all, err)
	}
	// A cookie that nobody gave, and a file that nobody can read, let nobody in.
	for _, token := range []string{"", "x", strings.Repeat("A", 43), sumOf(cookie)} {
		h.refuses("cookie "+token, request("POST", "/", token, nil), "device")
	}
	if err := os.WriteFile(h.devices.path, []byte(`{"devices":[{"name":"phone","sum":"`), 0o644); err != nil {
		t.Fatal(err)
	}
	h.refuses("after damage", request("POST", "/", kept, nil), "device")
}

// still asks as an answer does that goes on for hours.
func (h *house) still(cookie string) bool {
	r := request("GET", "/", cookie, nil)
	v := &visit{gate: h.gate, who: device}
	return Still(r.WithContext(context.WithValue(r.Context(), visitKey{}, v)))
}

// A code that is guessed: after five tries there is none, for longer each time.
func TestGuessedCodes(t *testing.T) {
	h := open(t)
	wrong := func() string {
		if h.code() == "000000" {
			return "000001"
		}
		return "000000"
	}
	right := h.code()
	for range codeTries {
		if w := h.types(wrong(), "x"); w.Code != http.StatusForbidden || w.Header().Get(Refused) != "code" {
			t.Errorf("%d", w.Code)
		}
	}
	if w := h.types(right, "x"); w.Code != http.StatusForbidden || !strings.Contains(w.Body.String(), "Too many codes") {
		t.Errorf("the code after five others: %d %s", w.Code, w.Body)
	}
	if all, _ := h.devices.All(); len(all) != 0 {
		t.Errorf("%+v", all)
	}
	// Who goes on all day, once a second.
	tries := codeTries
	for range 24 * 60 * 60 {
		h.now = h.now.Add(time.Second)
		h.pairing.mu.Lock()
		h.pairing.renew()
		h.pairing.mu.Unlock()
		if h.code() != "" {
			h.pairing.try(wrong())
			tries++
		}
	}
	if tries > 200 || tries < 50 {
		t.Errorf("%d tries in a day; the chance should be less than one in five thousand", tries)
	}
	// A code ends by itself, and is none by then.
	h.now = h.now.Add(2 * longest)
	h.asks(request("GET", "/pair", "", nil))
	right = h.code()
	h.now = h.now.Add(codeHolds)
	if h.pairing.try(right) == "" {
		t.Error("a code after five minutes lets in")
	}
	if w := h.types(right, "x"); w.Code != http.StatusForbidden || h.code() == right {
		t.Errorf("a code after five minutes: %d", w.Code)
	}
	h.lets("phone")
	for _, n := range h.pairing.News() {
		if n.Code != "" && (len(n.Code) != 6 || n.Address != ourPages+"/pair#"+n.Code) {
			t.Errorf("%+v", n)
		}
	}
}

func TestLargeBodies(t *testing.T) {
	h := open(t)
	cookie, form := h.lets("phone")
	large := url.Values{"form": {form}, "text": {strings.Repeat("a", maxBody)}}
	h.refuses("a form", request("POST", "/", cookie, large), "body")
	post := func(path string, size int64) *http.Request {
		r := request("POST", path, cookie, nil)
		r.Body, r.ContentLength = io.NopCloser(io.LimitReader(endless{}, size)), -1 // it does not say how long it is
		r.Header.Set(FormHeader, form)
		return r
	}
	h.refuses("without a length", post("/", maxBody+1), "body")
	h.refuses("where more is allowed", post("/large", 200<<10+1), "body")
	for path, size := range map[string]int64{"/": maxBody, "/large": 200 << 10} {
		if w := h.asks(post(path, size)); w.Code != 200 {
			t.Errorf("%d bytes to %s: %d", size, path, w.Code)
		}
	}
}

type endless struct{}

func (endless) Read(p []byte) (int, error) { return len(p), nil }

func TestMethodsAndPaths(t *testing.T) {
	h := open(t)
	cookie, form := h.lets("phone")
	for _, method := range []string{"PUT", "DELETE", "PATCH", "OPTIONS", "TRACE", "CONNECT", "PROPFIND"} {
		r := request(method, "/", cookie, nil)
		r.Header.Set(FormHeader, form)
		h.refuses(method, r, "method")
	}
	// Only the pairing itself is for strangers.
	for _, path := range []string{"//pair", "/pair/", "/pair/x", "/PAIR", "/pair.css/../index.html", "/pair%2f..%2findex.html", "/x/../pair", "/.rakelight/changes"} {
		r := request("GET", path, "", nil)
		r.Header.Set("Accept", "*/*")
		h.refuses(path, r, "device")
	}
	for path, kind := range map[string]string{"/pair": "text/html", "/pair.css": "text/css", "/pair.js": "text/javascript"} {
		w := h.asks(request("GET", path, "", nil))
		if w.Code != 200 || !strings.HasPrefix(w.Header().Get("Content-Type"), kind) || strings.Contains(w.Header().Get("Content-Security-Policy"), "unsafe") {
			t.Errorf("%s: %d %v", path, w.Code, w.Header())
		}
	}
}

func TestTooManyRequests(t *testing.T) {
	h := open(t)
	cookie, _ := h.lets("phone")
	h.gate.bounds = bounds{}
	codes := map[int]int{}
	for range 2 * strangerBurst {
		codes[h.asks(request("GET", "/pair.css", "", nil)).Code]++
	}
	if codes[200] < strangerBurst || codes[429] < strangerBurst/2 {
		t.Errorf("%v", codes)
	}
	if w := h.asks(request("GET", "/", cookie, nil)); w.Code != 200 {
		t.Errorf("the device that is let in: %d", w.Code)
	}
	// By other addresses of one network of the long kind, and by more than can be told
	// apart, it is no more.
	h.gate.bounds = bounds{}
	for i := range 4 * strangerBurst {
		r := request("GET", "/pair.css", "", nil)
		r.RemoteAddr = fmt.Sprintf("[2001:db8::%x]:40000", i)
		codes[h.asks(r).Code]++
	}
	h.gate.bounds = bounds{}
	for i := range 4 * maxKnown {
		r := request("GET", "/pair.css", "", nil)
		r.RemoteAddr = fmt.Sprintf("198.51.%d.%d:40000", i/250, i%250)
		codes[h.asks(r).Code]++
	}
	if len(h.gate.bounds.known) > maxKnown+1 || codes[429] < 3*strangerBurst {
		t.Errorf("%d are remembered; %v", len(h.gate.bounds.known), codes)
	}
}

// A body that does not come is not waited for, and writes nothing.
func TestSlowBodies(t *testing.T) {
	l, err := listenHere(Any)
	if err != nil {
		t.Fatal(err)
	}
	h := open(t)
	h.gate.here = net.IP.IsLoopback
	h.gate.bounds.body = 20 * time.Millisecond
	s := serve(t.Context(), l, h.gate)
	c, err := net.Dial("tcp", l.Addr().String())
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close()
	fmt.Fprintf(c, "POST / HTTP/1.1\r\nHost: %s\r\nOrigin: http://%[1]s\r\nContent-Type: application/x-www-form-urlencoded\r\nContent-Length: 1000\r\n\r\nform=", l.Addr())
	resp, err := http.ReadResponse(bufio.NewReader(c), nil)
	if err != nil {
		t.Fatal(err)
	}
	defer resp.Body.Close()
	if resp.Header.Get(Refused) != "unread" || h.wrote != 0 || !resp.Close {
		t.Errorf("%v, %d written", resp.Header, h.wrote)
	}
	if err := s.Close(); err != nil {
		t.Error(err)
	}
}

// Through a real connection: who is not this computer asks for nothing but the pairing.
func TestServePaired(t *testing.T) {
	h := open(t)
	h.pairing.here = func(net.IP) bool { return false }
	s, err := ServePaired(t.Context(), Any, "default-src 'none'", "no-store", h.pairing, http.HandlerFunc(h.page))
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	if len(s.Elsewhere) != 1 || s.Elsewhere[0] != s.URL {
		t.Errorf("%v", s.Elsewhere)
	}
	resp, err := http.Get(s.URL)
	if err != nil {
		t.Fatal(err)
	}
	defer resp.Body.Close()
	page, err := io.ReadAll(resp.Body)
	if err != nil || resp.Request.URL.Path != "/pair" || strings.Contains(string(page), "private") || !strings.Contains(string(page), "Let this device in") {
		t.Errorf("%s, %v", page, err)
	}
	for _, addr := range []string{"bench.example:80", "localhost:80", ":80", "8765"} {
		if s, err := ServePaired(t.Context(), addr, "", "", h.pairing, http.NotFoundHandler()); err == nil {
			_ = s.Close()
			t.Errorf("%s was served at", addr)
		}
	}
}

// Devices are whole whatever stands in their file.
func FuzzDevices(f *testing.F) {
	for _, text := range []string{"", "{}", `{"devices":null}`, `{"devices":[{"name":"a\u202eb","sum":"00"}]}`, `{"devices":[{"name":"phone","sum":"` + sumOf("x") + `","since":"2026-03-14T19:00:00Z","seen":"2026-03-14"}]}`, `{"devices":[{"sum":"` + strings.Repeat("é", 32) + `"}]}`} {
		f.Add([]byte(text))
	}
	d := DevicesOf(f.TempDir())
	if _, err := d.add("phone", "x", time.Now()); err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		if err := os.WriteFile(d.path, data, 0o644); err != nil {
			t.Fatal(err)
		}
		all, err := d.All()
		for _, one := range all {
			if err != nil || len(one.ID) != 32 || one.Name == "" || nameOf(one.Name) != one.Name {
				t.Errorf("%+v, %v", one, err)
			}
		}
		if _, in := d.find("never given"); in {
			t.Error("let in")
		}
	})
}
