// This file reads journal.toml. A setting that is not understood is a remark with
// its line, and with what is used in its place; it never stops the rest.

package plan

import (
	"bytes"
	"cmp"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"time"

	"github.com/BurntSushi/toml"
	"golang.org/x/text/language"
)

// settingsName is the file of a journal's settings, in its folder.
const settingsName = "journal.toml"

// reading is journal.toml while it is read.
type reading struct {
	p      *Plan
	lines  []string
	meta   toml.MetaData
	noZone bool // told already that the zone is not understood
}

// readSettings reads journal.toml. An error is a file that cannot be read at all,
// or a format of a later version.
func (p *Plan) readSettings(dir string) error {
	path := filepath.Join(dir, settingsName)
	data, err := os.ReadFile(path)
	if err != nil {
		return err
	}
	text := string(bytes.TrimPrefix(data, []byte("\ufeff")))
	r := reading{p: p, lines: strings.Split(text, "\n")}
	// A setting of the wrong type must not keep the others from being read, so
	// each is read by itself.
	var raw map[string]toml.Primitive
	if r.meta, err = toml.Decode(text, &raw); err != nil {
		return fmt.Errorf("%s: %w; nothing was changed", path, err)
	}
	c := &p.Config
	if format, said := raw["format"]; said {
		if err := r.meta.PrimitiveDecode(format, &c.Format); err != nil {
			return fmt.Errorf("%s: the format is no number, so nothing else in it can be trusted; nothing was changed",
				path)
		}
		// A newer format may mean anything by its other settings.
		if c.Format > Format {
			return fmt.Errorf("%s: %w", dir, ErrNewerFormat)
		}
	}
	if c.Format < 1 {
		r.remark(0, "the line format = %d is missing; the journal is read as of that format", Format)
		c.Format = Format
	}
	r.words(raw, c)
	c.Zones = listed[ZoneChange](&r, raw, "zones")
	c.Clocks = listed[ClockFault](&r, raw, "clock")
	c.Stages = listed[StageConfig](&r, raw, "stage")
	c.Before = r.before(raw)
	c.Curing = r.curing(raw)
	c.Supplies = r.headings(raw)
	c.Sandings = listed[SandingConfig](&r, raw, "sanding")
	c.Public = r.public(raw)
	r.unknown(raw)
	r.zone(c)
	r.writtenIn(c)
	r.lengths(c)
	r.tables(c)
	for _, copied := range copiesOf(settingsName, dir) {
		p.Problems = append(p.Problems, copyProblem(copied, settingsName))
	}
	return nil
}

// remark tells of a setting at a line, 0 = of the whole file.
func (r *reading) remark(line int, format string, args ...any) {
	r.p.problem(settingsName, line, format, args...)
}

// words reads the settings that are one text each.
func (r *reading) words(raw map[string]toml.Primitive, c *Config) {
	texts := map[string]*string{
		"name": &c.Name, "zone": &c.Zone, "written-in": &c.WrittenIn, "settle": &c.Settle, "longest": &c.Longest,
		"card-silence": &c.CardSilence, "card-twice": &c.CardTwice, "card-unseen": &c.CardUnseen,
	}
	used := map[string]string{"name": "the journal has no name",
		"zone": "UTC is used until you name one like Europe/Lisbon", "written-in": notWritten}
	for _, l := range c.lengths() {
		used[l.name] = fmt.Sprintf("a length of time is written like \"2h\", \"90m\" or \"15s\"; %s is used",
			typed(l.fallback))
	}
	for _, key := range slices.Sorted(maps.Keys(texts)) {
		if value, said := raw[key]; said && r.meta.PrimitiveDecode(value, texts[key]) != nil {
			r.noZone = r.noZone || key == "zone"
			r.remark(r.line(key), "%s takes words in quotes; %s", key, used[key])
		}
	}
}

// listed reads a list of tables; one that is not understood is left out.
func listed[T any](r *reading, raw map[string]toml.Primitive, key string) []T {
	value, said := raw[key]
	if !said {
		return nil
	}
	var tables []toml.Primitive
	if err := r.meta.PrimitiveDecode(value, &tables); err != nil {
		r.remark(r.line(key), "%s is no list of tables; each begins with a line [[%s]]; it does nothing", key, key)
		return nil
	}
	var out []T
	for i, table := range tables {
		var one T
		if err := r.meta.PrimitiveDecode(table, &one); err != nil {
			r.remark(r.table(key, i), "this [[%s]] is not understood (%v); it is left out", key, err)
			continue
		}
		out = append(out, one)
	}
	return out
}

// settingNames are the settings there are, and what a table of a list may hold.
var settingNames = map[string][]string{
	"format": nil, "name": nil, "zone": nil, "written-in": nil, "settle": nil, "longest": nil,
	"card-silence": nil, "card-twice": nil, "card-unseen": nil,
	"zones": {"from", "name"}, "clock": {"make", "model", "serial", "from", "to", "fast"},
	"stage": {"id", "title", "kind"}, "before": nil, "curing": nil, "supplies": nil,
	"sanding": {"surface", "finish", "remove", "steps"}, "public": publicFields,
}

// unknown tells of the settings that nothing reads. Those that are known and were
// not understood are told of already, as is all that before and curing hold.
func (r *reading) unknown(raw map[string]toml.Primitive) {
	for _, key := range slices.Sorted(maps.Keys(raw)) {
		if _, known := settingNames[key]; !known {
			r.remark(r.line(key), "the setting %s is not known and does nothing", key)
		}
	}
	told := map[string]bool{}
	for _, key := range r.meta.Undecoded() {
		fields, known := settingNames[key[0]]
		if !known || len(key) == 1 || key[0] == "before" || key[0] == "curing" || slices.Contains(fields, key[1]) ||
			told[key.String()] {
			continue
		}
		told[key.String()] = true
		r.remark(r.line(key[len(key)-1]), "the setting %s is not known and does nothing", key)
	}
}

// lengths looks at the settings that are lengths of time.
func (r *reading) lengths(c *Config) {
	for _, l := range c.lengths() {
		if _, ok := length(l.value, l.zero); l.value != "" && !ok {
			r.remark(r.line(l.name),
				"%s = %q is not a length of time; write it like \"2h\", \"90m\" or \"15s\"; %s is used",
				l.name, l.value, typed(l.fallback))
		}
	}
}

// notWritten is what comes of a language that is none.
const notWritten = "pages do not tell of which language your words are"

// writtenIn looks that the language of the person's words is one.
func (r *reading) writtenIn(c *Config) {
	if _, err := language.Parse(c.WrittenIn); c.WrittenIn != "" && err != nil {
		r.remark(r.line("written-in"), "written-in = %q is no language; write it like \"en\" or \"de\"; %s",
			c.WrittenIn, notWritten)
		c.WrittenIn = ""
	}
}

// lengthSetting is a setting that is a length of time, and what is used where it
// is none.
type lengthSetting struct {
	name, value string
	fallback    time.Duration
	zero        bool // none is a length, too
}

func (c *Config) lengths() []lengthSetting {
	return []lengthSetting{
		{"settle", c.Settle, DefaultSettle, true}, {"longest", c.Longest, DefaultLongest, false},
		{"card-silence", c.CardSilence, defaultSilence, false}, {"card-twice", c.CardTwice, defaultTwice, true},
		{"card-unseen", c.CardUnseen, defaultUnseen, false},
	}
}

// zone sets the journal's time zone; UTC stays when none is understood.
func (r *reading) zone(c *Config) {
	zone, err := time.LoadLocation(c.Zone)
	switch {
	case err == nil && c.Zone != "":
		r.p.Zone = zone
	case !r.noZone:
		r.remark(r.line("zone"), "zone %q is not a time zone; UTC is used until you name one like Europe/Lisbon", c.Zone)
	}
}

// tables looks at zones, stages, clocks and sanding plans.
func (r *reading) tables(c *Config) {
	for i, z := range c.Zones {
		if _, _, err := z.read(); err != nil {
			r.remark(r.table("zones", i), "zones: %v; it is not applied", err)
		}
	}
	for i, s := range c.Stages {
		if kind := cmp.Or(s.Kind, s.ID); s.ID == "" || !slices.Contains(Kinds, kind) {
			r.remark(r.table("stage", i), "stage %q: %q is not a kind of stage; a kind is one of %s; it is left out", s.ID,
				kind, strings.Join(Kinds, ", "))
		}
	}
	for i, one := range c.Sandings {
		if _, err := one.plan(); err != nil {
			r.remark(r.table("sanding", i), "sanding: %v; the plan is left out", err)
		}
	}
	for i, one := range c.Clocks {
		if err := one.Check(); err != nil {
			r.remark(r.table("clock", i),
				"clock of %s %s: %v; write lengths like \"1h3m\" or \"-10m\" and days like 2024-03-01; it is not applied",
				one.Make, one.Model, err)
		}
	}
}

// line is the first line that sets a key, 0 = not found.
func (r *reading) line(key string) int {
	sets := regexp.MustCompile(`^\s*(?:[\w"'-]+\s*\.\s*)*["']?` + regexp.QuoteMeta(key) +
		`["']?\s*[=.]|^\s*\[+\s*["']?` + regexp.QuoteMeta(key) + `["']?\s*[\].]`)
	for i, line := range r.lines {
		if sets.MatchString(line) {
			return i + 1
		}
	}
	return 0
}

// table is the line on which the i-th table of a list begins, from 0; 0 = not found.
func (r *reading) table(key string, i int) int {
	begins := regexp.MustCompile(`^\s*\[\[\s*["']?` + regexp.QuoteMeta(key) + `["']?\s*\]\]`)
	for n, line := range r.lines {
		if begins.MatchString(line) {
			if i == 0 {
				return n + 1
			}
			i--
		}
	}
	return r.line(key)
}
