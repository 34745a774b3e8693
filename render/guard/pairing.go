// How a device is let in: by a code that only the terminal shows.
//
// A code has six digits, holds for five minutes and lets in one device. Whoever
// opens the page of the pairing has a new one shown where none holds. After five
// wrong codes there is no code for a minute, after the next five for two, and so on
// up to an hour, whoever typed them: whoever guesses without end has less than one
// chance in five thousand on the first day, and in eight thousand on each other.

package guard

import (
	"crypto/rand"
	"crypto/subtle"
	_ "embed"
	"encoding/base64"
	"fmt"
	"html/template"
	"math/big"
	"net"
	"net/http"
	"strconv"
	"strings"
	"sync"
	"time"
)

// The addresses of the pairing.
const (
	pairPath   = "/pair"
	pairStyle  = "/pair.css"
	pairScript = "/pair.js"
)

const (
	codeHolds  = 5 * time.Minute
	codeTries  = 5
	firstWait  = time.Minute
	longest    = time.Hour
	cookieAge  = 365 * 24 * time.Hour
	pairPolicy = "default-src 'none'; style-src 'self'; script-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)

//go:embed pair.html
var pairText string

//go:embed pair.css
var pairCSS []byte

//go:embed pair.js
var pairJS []byte

var pairPage = template.Must(template.New("pair").Parse(pairText))

// Pairing lets devices in. It is safe for concurrent use.
type Pairing struct {
	Home string // where a device that was let in goes, "/" when empty

	devices Devices
	now     func() time.Time
	here    func(net.IP) bool // in tests

	mu    sync.Mutex
	at    []string
	code  string // "" = none holds
	until time.Time
	wrong int       // codes since a device was let in
	wait  time.Time // until when there is no code
	news  []PairingNews
}

// PairingNews is what the person at the terminal is told.
type PairingNews struct {
	Code    string // a new code, "" = it is something else
	Address string // where it is typed, with the code behind "#"
	Let     string // the name of the device that was let in
	Wrong   int    // so many codes were wrong, and there is none for Wait
	Wait    time.Duration
	Err     error // a device could not be let in
}

// NewPairing lets devices in to the journal whose devices those are.
func NewPairing(d Devices) *Pairing { return &Pairing{devices: d, now: time.Now} }

// News is what came since it was last asked for.
func (p *Pairing) News() []PairingNews {
	p.mu.Lock()
	defer p.mu.Unlock()
	news := p.news
	p.news = nil
	return news
}

// reachedAt says where devices reach the pages, and makes the first code.
func (p *Pairing) reachedAt(addresses []string) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.at = addresses
	p.renew()
}

// renew makes a code where none holds and there may be one.
func (p *Pairing) renew() {
	now := p.now()
	if p.code != "" && now.Before(p.until) || now.Before(p.wait) {
		return
	}
	n, err := rand.Int(rand.Reader, big.NewInt(1_000_000))
	if err != nil {
		return // it never fails
	}
	p.code, p.until = fmt.Sprintf("%06d", n), now.Add(codeHolds)
	at := ""
	if len(p.at) > 0 {
		at = p.at[0] + strings.TrimPrefix(pairPath, "/") + "#" + p.code
	}
	p.tell(PairingNews{Code: p.code, Address: at})
}

// tell keeps news, of which nobody needs more than a screen.
func (p *Pairing) tell(one PairingNews) {
	if len(p.news) < 20 {
		p.news = append(p.news, one)
	}
}

// try is what the code says that was typed; "" lets the device in.
func (p *Pairing) try(code string) (refused string) {
	p.mu.Lock()
	defer p.mu.Unlock()
	now := p.now()
	if now.Before(p.wait) {
		return p.waits()
	}
	if p.code == "" || !now.Before(p.until) {
		p.renew()
		return "That code held for five minutes and for one device. The terminal shows a new one."
	}
	if subtle.ConstantTimeCompare([]byte(code), []byte(p.code)) == 1 {
		p.code, p.wrong = "", 0
		return ""
	}
	p.wrong++
	if p.wrong%codeTries != 0 {
		return "That is not the code."
	}
	p.code = ""
	wait := longest
	if round := p.wrong/codeTries - 1; round < 6 {
		wait = firstWait << round
	}
	p.wait = now.Add(wait)
	p.tell(PairingNews{Wrong: p.wrong, Wait: wait})
	return p.waits()
}

func (p *Pairing) waits() string {
	left := p.wait.Sub(p.now())
	return fmt.Sprintf("Too many codes were wrong. In %d min this page, loaded again, has the terminal show a new one.",
		int((left+time.Minute-1)/time.Minute))
}

// knows is the device that has a token, and notes that it was seen.
func (p *Pairing) knows(token string) (PairedDevice, bool) {
	one, ok := p.devices.find(token)
	if day := p.now().Format(time.DateOnly); ok && one.Seen != day {
		_ = p.devices.sawToday(one.ID, day) // the next request tries again
	}
	return one, ok
}

func isPairing(path string) bool { return path == pairPath || path == pairStyle || path == pairScript }

// handler serves the pages of the pairing, to whoever asks.
func (p *Pairing) handler() http.Handler {
	mux := http.NewServeMux()
	mux.HandleFunc("GET "+pairStyle, Static("text/css; charset=utf-8", pairCSS))
	mux.HandleFunc("GET "+pairScript, Static("text/javascript; charset=utf-8", pairJS))
	mux.HandleFunc("GET "+pairPath, p.show)
	mux.HandleFunc("POST "+pairPath, p.let)
	return mux
}

// pairData is what the page of the pairing shows.
type pairData struct {
	Form, Name, Refused string
}

func (p *Pairing) show(w http.ResponseWriter, r *http.Request) {
	p.mu.Lock()
	p.renew()
	data := pairData{Form: Form(r)}
	if p.now().Before(p.wait) {
		data.Refused = p.waits()
	}
	p.mu.Unlock()
	p.page(w, data)
}

func (p *Pairing) page(w http.ResponseWriter, data pairData) {
	w.Header().Set("Content-Security-Policy", pairPolicy)
	w.Header().Set("Cache-Control", "no-store")
	Page(w, pairPage, data)
}

// let lets in a device that sends the code, and gives it its token.
func (p *Pairing) let(w http.ResponseWriter, r *http.Request) {
	name := nameOf(r.PostFormValue("name"))
	again := func(refused string) {
		w.Header().Set(Refused, "code")
		p.page(status{w, http.StatusForbidden}, pairData{Form: Form(r), Name: name, Refused: refused})
	}
	if refused := p.try(strings.Join(strings.Fields(r.PostFormValue("code")), "")); refused != "" {
		again(refused)
		return
	}
	random := make([]byte, 32)
	_, _ = rand.Read(random) // it never fails
	token := base64.RawURLEncoding.EncodeToString(random)
	added, err := p.devices.add(name, token, p.now())
	p.mu.Lock()
	p.tell(PairingNews{Let: added.Name, Err: err})
	p.mu.Unlock()
	if err != nil {
		again("The device could not be let in; the terminal says why.")
		return
	}
	http.SetCookie(w, &http.Cookie{Name: cookieName(visitOf(r.Context()).gate.port), Value: token, Path: "/",
		MaxAge: int(cookieAge / time.Second), HttpOnly: true, SameSite: http.SameSiteStrictMode})
	home := p.Home
	if home == "" {
		home = "/"
	}
	http.Redirect(w, r, home, http.StatusSeeOther)
}

// status is an answer with another code than 200.
type status struct {
	http.ResponseWriter
	code int
}

func (s status) Write(data []byte) (int, error) {
	s.WriteHeader(s.code)
	return s.ResponseWriter.Write(data)
}

// cookieName is the name of the cookie of a port: browsers keep cookies by host, and
// two journals may be served from one.
func cookieName(port int) string { return "rakelight-" + strconv.Itoa(port) }

// acceptsPages reports whether the request is for a page.
func acceptsPages(r *http.Request) bool {
	accept := r.Header.Get("Accept")
	return accept == "" || strings.Contains(accept, "text/html")
}
