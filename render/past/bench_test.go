package past

import (
	"io"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"
	"time"
)

// BenchmarkThousands asks for the pages of 3,000 pictures of six builds: the first page
// once by a program that just started (first-ms), then again (op), the sheet of one
// build of 500 pictures (sheet-ms), and the sheet after something was said of it
// (said-ms), with how much they weigh.
func BenchmarkThousands(b *testing.B) {
	dir, _, _ := looked(b, 50, 10)
	h := newPages(b, dir).Handler()
	ask := func(r *http.Request) (size float64) {
		b.Helper()
		w := httptest.NewRecorder()
		h.ServeHTTP(w, r)
		n, err := io.Copy(io.Discard, w.Body)
		if err != nil || w.Code >= http.StatusBadRequest {
			b.Fatal(w.Code, err)
		}
		return float64(n) / 1000
	}
	get := func(address string) *http.Request { return httptest.NewRequest(http.MethodGet, address, nil) }
	begun := time.Now()
	firstSize := ask(get(Root))
	first := ms(begun)
	l, err := lookAt(dir)
	if err != nil {
		b.Fatal(err)
	}
	g := l.bands()[0]
	sheetSize := ask(get(g.address()))
	var sheets, sayings float64
	for b.Loop() {
		begun = time.Now()
		ask(get(g.address()))
		sheets += ms(begun)
		fields := url.Values{"do": {"name"}, "title": {"Pilot boat"}, "of": {g.id()}, "once": {newID()}}
		r := httptest.NewRequest(http.MethodPost, Root+"say", strings.NewReader(fields.Encode()))
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		begun = time.Now()
		ask(r)
		ask(get(g.address()))
		sayings += ms(begun)
	}
	for unit, value := range map[string]float64{"first-KB": firstSize, "first-ms": first, "sheet-KB": sheetSize} {
		b.ReportMetric(value, unit)
	}
	b.ReportMetric(sheets/float64(b.N), "sheet-ms")
	b.ReportMetric(sayings/float64(b.N), "said-ms")
}

func ms(begun time.Time) float64 { return float64(time.Since(begun).Microseconds()) / 1000 }
