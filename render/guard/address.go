// Where is served, and whether a request names that place.

package guard

import (
	"fmt"
	"net"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
)

func listenHere(addr string) (net.Listener, error) {
	host, port, err := split(addr)
	if err != nil {
		return nil, err
	}
	if host == "localhost" || host == "" {
		host = "127.0.0.1"
	}
	if ip := net.ParseIP(host); ip == nil || !ip.IsLoopback() {
		return nil, fmt.Errorf("%s: the pages are served to this computer only; use 127.0.0.1", addr)
	}
	return listen(host, port)
}

// listenAll listens where other computers reach this one.
func listenAll(addr string) (net.Listener, error) {
	host, port, err := split(addr)
	if err != nil {
		return nil, err
	}
	if net.ParseIP(host) == nil {
		return nil, fmt.Errorf("%s: name an address of this computer by its number, or 0.0.0.0 for all of them", addr)
	}
	return listen(host, port)
}

func split(addr string) (host, port string, err error) {
	if host, port, err = net.SplitHostPort(addr); err != nil {
		return "", "", fmt.Errorf("%s is no address to serve at; write it like 127.0.0.1:8765", addr)
	}
	return host, port, nil
}

// listen takes a free port where the one that is asked for is taken.
func listen(host, port string) (net.Listener, error) {
	l, err := net.Listen("tcp", net.JoinHostPort(host, port))
	if err != nil {
		l, err = net.Listen("tcp", net.JoinHostPort(host, "0"))
	}
	if err != nil {
		return nil, fmt.Errorf("the pages cannot be served: %w", err)
	}
	return l, nil
}

// addresses is where this computer reaches what listens at an address, and where
// others do: private addresses first, as they are at home, and the older kind of
// numbers before the long ones.
func addresses(at net.Addr) (here string, elsewhere []string) {
	tcp, ok := at.(*net.TCPAddr)
	if !ok {
		return "http://" + at.String() + "/", nil
	}
	port := strconv.Itoa(tcp.Port)
	page := func(ip net.IP) string { return "http://" + net.JoinHostPort(ip.String(), port) + "/" }
	if !tcp.IP.IsUnspecified() {
		return page(tcp.IP), []string{page(tcp.IP)}
	}
	all, _ := net.InterfaceAddrs() // what it does not tell, the person knows
	var ips []net.IP
	for _, one := range all {
		if n, ok := one.(*net.IPNet); ok && n.IP.IsGlobalUnicast() {
			ips = append(ips, n.IP)
		}
	}
	rank := func(ip net.IP) (n int) {
		if ip.To4() == nil {
			n++
		}
		if !ip.IsPrivate() {
			n += 2
		}
		return n
	}
	slices.SortStableFunc(ips, func(a, b net.IP) int { return rank(a) - rank(b) })
	for _, ip := range ips {
		elsewhere = append(elsewhere, page(ip))
	}
	return page(net.IPv4(127, 0, 0, 1)), elsewhere
}

// namesUs reports whether the Host of a request is this computer: localhost or a
// number of the loopback where this computer asks, and else the number of the
// address that the request came in at. No other name is one of ours, whatever it
// leads to.
func (g *gate) namesUs(r *http.Request) bool {
	host := r.Host
	if h, _, err := net.SplitHostPort(host); err == nil {
		host = h
	}
	host = strings.Trim(host, "[]")
	local := g.fromHere(r)
	if host == "localhost" {
		return local
	}
	ip := net.ParseIP(host)
	if ip == nil {
		return false
	}
	if local && ip.IsLoopback() {
		return true
	}
	at, ok := r.Context().Value(http.LocalAddrContextKey).(*net.TCPAddr)
	return g.pairing != nil && ok && ip.Equal(at.IP)
}

// fromHere reports whether this computer asks.
func (g *gate) fromHere(r *http.Request) bool {
	ip := addressOf(r)
	return ip != nil && g.here(ip)
}

// addressOf is where a request came from; nil is nowhere that can be told.
func addressOf(r *http.Request) net.IP {
	host, _, err := net.SplitHostPort(r.RemoteAddr)
	if err != nil {
		return nil
	}
	host, _, _ = strings.Cut(host, "%") // the zone of a link's own address
	return net.ParseIP(host)
}

// fetchedElsewhere reports whether a page of another address asks for a part of
// itself. To follow a link is left to anybody. Browsers tell so only where nobody
// can have changed it on the way, which is on this computer.
func fetchedElsewhere(r *http.Request) bool {
	switch r.Header.Get("Sec-Fetch-Site") {
	case "", "same-origin", "none":
		return false
	}
	return r.Method == http.MethodPost || r.Header.Get("Sec-Fetch-Mode") != "navigate"
}

// postedHere reports whether a page that was served here posts. A browser that does
// not say where a post comes from is none: all of the last years do.
func postedHere(r *http.Request) bool {
	origin := r.Header.Get("Origin")
	if origin == "" {
		return r.Header.Get("Sec-Fetch-Site") == "same-origin"
	}
	from, err := url.Parse(origin)
	return err == nil && from.Scheme == "http" && from.Host == r.Host
}
