// How much of anything is answered: connections, requests, bytes, time.

package guard

import (
	"cmp"
	"net"
	"net/http"
	"sync"
	"time"

	"golang.org/x/time/rate"
)

const (
	// A page with its contact sheet asks for hundreds of pictures at once; a phone
	// that was out of reach sends an evening's entries one after another.
	readsBurst, writesBurst = 3000, 200
	readsRate, writesRate   = rate.Limit(200), rate.Limit(20) // a second
	// Whoever is not let in sees one small page.
	strangerBurst, strangerRate = 30, rate.Limit(2)

	maxConnections = 256      // six a browser, and the streams of open pages
	maxHead        = 16 << 10 // of a request, in bytes
	maxBody        = 64 << 10 // of a post that nothing else was said of
	maxKnown       = 256      // visitors whose requests are counted one by one

	headPatience = 10 * time.Second
	bodyPatience = 30 * time.Second // for a piece of a photo over a poor network
	sendPatience = 10 * time.Minute // for an original to a slow phone
	idle         = 2 * time.Minute
)

// bounds counts requests by visitor.
type bounds struct {
	body time.Duration // how long a body may take, 0 = bodyPatience

	mu    sync.Mutex
	known map[string]*counts
}

type counts struct{ reads, writes *rate.Limiter }

// allow counts one request of a visitor. Beyond a number of visitors strangers are
// counted as one: none can be many.
func (b *bounds) allow(key string, writes bool) bool {
	b.mu.Lock()
	defer b.mu.Unlock()
	c := b.known[key]
	if c == nil && len(b.known) >= maxKnown {
		key = "others"
		c = b.known[key]
	}
	if c == nil {
		c = &counts{rate.NewLimiter(readsRate, readsBurst), rate.NewLimiter(writesRate, writesBurst)}
		if isStranger(key) {
			c.reads = rate.NewLimiter(strangerRate, strangerBurst)
			c.writes = c.reads
		}
		if b.known == nil {
			b.known = map[string]*counts{}
		}
		b.known[key] = c
	}
	if writes {
		return c.writes.Allow()
	}
	return c.reads.Allow()
}

// key is as whom a visitor is counted: strangers by their address, of the long kind
// by its first half, which a network has as one.
func (v *visit) key(r *http.Request) string {
	switch v.who {
	case here:
		return "here"
	case device:
		return "device " + v.device.ID
	}
	ip := addressOf(r)
	if ip.To4() == nil && len(ip) == net.IPv6len {
		ip = ip.Mask(net.CIDRMask(64, 128))
	}
	return "stranger " + ip.String()
}

func isStranger(key string) bool {
	return key != "here" && (len(key) < 6 || key[:6] != "device")
}

// deadlines keeps nobody from being answered by being slow.
func (b *bounds) deadlines(w http.ResponseWriter, r *http.Request) {
	out, now := http.NewResponseController(w), time.Now()
	_ = out.SetWriteDeadline(now.Add(sendPatience)) // what cannot be bounded is answered all the same
	if r.Method == http.MethodPost {
		_ = out.SetReadDeadline(now.Add(cmp.Or(b.body, bodyPatience)))
	}
}

// limit bounds the body of a request, and remembers it as it was.
func (v *visit) limit(w http.ResponseWriter, r *http.Request) {
	v.all, v.writer = r.Body, w
	r.Body = http.MaxBytesReader(w, r.Body, maxBody)
}

// AllowBody lets the body of a post be as large as n bytes, where without it 64 KB
// are. It is called before anything is read, and only by who bounds what it does
// with them; the post bears its form token in the header.
func AllowBody(r *http.Request, n int64) {
	if v := visitOf(r.Context()); v != nil && v.all != nil {
		r.Body = http.MaxBytesReader(v.writer, v.all, n)
	}
}
