// How long a tap on the page beside the mat takes to be on the disk.

package main

import (
	"fmt"
	"io"
	"net/http"
	"net/url"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"rakelight/render/preview"
)

// BenchmarkYearsMat reports what a tap takes from the request to the answer, which goes
// out when the record is durable, and what the mat takes to be shown again: medians
// over the rounds and the slowest, in milliseconds of wall time.
func BenchmarkYearsMat(b *testing.B) {
	for _, photos := range sizesOfYears(b) {
		b.Run(fmt.Sprint(photos), func(b *testing.B) {
			dir := yearsJournal(b, photos)
			b.Setenv(marksEnv, filepath.Join(b.TempDir(), "marks"))
			a := &app{now: time.Now}
			server, err := preview.Serve(b.Context(), "127.0.0.1:0", filepath.Join(b.TempDir(), "pages"), nil, a.mat(dir))
			if err != nil {
				b.Fatal(err)
			}
			b.Cleanup(func() { _ = server.Close() })
			m := &mat{b: b, at: server.URL}
			m.show()
			m.say(url.Values{"what": {"begin"}, "build": {"lightship-60"}, "stage": {"seam"}})
			var taps, shows []time.Duration
			for b.Loop() {
				start := time.Now()
				m.say(url.Values{"what": {"done"}, "parts": {"1"}})
				taps = append(taps, time.Since(start))
				start = time.Now()
				m.show()
				shows = append(shows, time.Since(start))
			}
			m.say(url.Values{"what": {"end"}})
			for name, all := range map[string][]time.Duration{"tap": taps, "mat": shows} {
				slices.Sort(all)
				b.ReportMetric(float64(all[len(all)/2].Microseconds())/1000, name+"-ms")
				b.ReportMetric(float64(all[len(all)-1].Microseconds())/1000, name+"-worst-ms")
			}
		})
	}
}

// mat is the page beside the mat, asked without a browser.
type mat struct {
	b        *testing.B
	at, form string
	said     int
}

var formToken = regexp.MustCompile(`data-form="([^"]+)"`)

func (m *mat) show() {
	resp, err := http.Get(m.at + "bench/")
	if err != nil {
		m.b.Fatal(err)
	}
	defer resp.Body.Close()
	page, err := io.ReadAll(resp.Body)
	found := formToken.FindSubmatch(page)
	if err != nil || resp.StatusCode != http.StatusOK || found == nil {
		m.b.Fatal(resp.Status, err)
	}
	m.form = string(found[1])
}

func (m *mat) say(fields url.Values) {
	m.said++
	fields.Set("once", fmt.Sprintf("measured-%d-%d", time.Now().UnixNano(), m.said))
	r, err := http.NewRequest(http.MethodPost, m.at+"bench/say", strings.NewReader(fields.Encode()))
	if err != nil {
		m.b.Fatal(err)
	}
	for name, value := range map[string]string{"Content-Type": "application/x-www-form-urlencoded", "X-Form": m.form,
		"Origin": strings.TrimSuffix(m.at, "/"), "Accept": "application/json"} {
		r.Header.Set(name, value)
	}
	resp, err := http.DefaultClient.Do(r)
	if err != nil {
		m.b.Fatal(err)
	}
	defer resp.Body.Close()
	if answer, err := io.ReadAll(resp.Body); err != nil || resp.StatusCode != http.StatusOK {
		m.b.Fatal(fields, resp.Status, string(answer), err)
	}
}
