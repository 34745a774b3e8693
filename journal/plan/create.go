// This file makes a new journal folder.

package plan

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"rakelight/journal/disk"
	"rakelight/journal/record"
)

// Create makes a journal in dir, which must not exist or be empty; anything
// else is an error and is left untouched. zone is an IANA name.
func Create(dir, name, zone string, now time.Time) error {
	if err := CheckVacant(dir); err != nil {
		return err
	}
	if _, err := time.LoadLocation(zone); err != nil {
		return fmt.Errorf("%q is not a time zone; one is named like Europe/Lisbon; nothing was made", zone)
	}
	_, statErr := os.Stat(dir)
	err := fill(dir, fmt.Appendf(nil, settings, now.Format(time.DateOnly), Format, quote(name), quote(zone)))
	if err != nil {
		// Half a journal would be in the way of the next try. Only what is empty
		// goes, and the file that we wrote.
		_ = disk.Remove(filepath.Join(dir, "README.txt"))
		for _, sub := range subfolders {
			_ = disk.Remove(filepath.Join(dir, sub))
		}
		if errors.Is(statErr, fs.ErrNotExist) {
			_ = disk.Remove(dir)
		}
	}
	return err
}

// fill makes what a new journal holds.
func fill(dir string, toml []byte) error {
	for _, sub := range subfolders {
		if err := disk.MkdirAll(filepath.Join(dir, sub), 0o755); err != nil {
			return err
		}
	}
	if err := record.WriteFile(filepath.Join(dir, "README.txt"), []byte(readme)); err != nil {
		return err
	}
	// Last, because it is what makes the folder a journal.
	return record.WriteFile(filepath.Join(dir, "journal.toml"), toml)
}

// CheckVacant returns an AskError when no journal can be made in dir: something
// is there, or it lies in the folders of another journal.
func CheckVacant(dir string) error {
	const another = "name a new folder, or an empty one"
	entries, err := os.ReadDir(dir)
	switch info, statErr := os.Stat(dir); {
	case err == nil || errors.Is(err, fs.ErrNotExist):
	case statErr == nil && !info.IsDir():
		return &AskError{dir + " is a file; it was left as it is", another}
	default:
		return err
	}
	for _, e := range entries {
		if e.Name() == "journal.toml" {
			return &AskError{dir + " is a journal already; it was left as it is", another}
		}
	}
	if len(entries) > 0 {
		return &AskError{dir + " is not empty; it was left as it is", another}
	}
	if name, err := KeptFolder(dir); err != nil {
		return err
	} else if name != "" {
		return &AskError{fmt.Sprintf("%s would lie in the folder %s of a journal, which holds nothing but its own; nothing was made",
			dir, name), "name a folder outside of it"}
	}
	return nil
}

// quote writes a string as TOML reads it. JSON's escapes are all TOML's too,
// but DEL, which neither name nor zone needs.
func quote(s string) string {
	var b strings.Builder
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	if enc.Encode(strings.ReplaceAll(s, "\x7f", "")) != nil {
		return `""`
	}
	return strings.TrimSpace(b.String())
}

const settings = `# The settings of this journal, made %s. Edit them as you like.

# The layout of the folder. Leave it as it is.
format = %d

# What the pages are headed with.
name = %s

# Your home time zone. Photos that state no zone are read in it.
zone = %s

# The language you write in, such as "en" or "de": titles, notes, the words of your days.
# Where a page is in another one, it says so of your words, for those who have it read
# to them.
#
# written-in = "en"

# A photo this near to a session is guessed to belong to it (and marked as a guess).
settle = "2h"

# If a timer runs longer than this, Rakelight asks about it and never counts it silently.
longest = "5h"

# How many you had done before this journal began, by kind of stage: learning
# counts on from there. Parts for cut, clean, dry-fit and assemble, joins for seam,
# coats for prime, paint, gloss and top-coat, items for detail, decals for decal.
#
# before = {clean = 3000, prime = 400}

# How long things cure on your bench, by your own experience and what the labels say:
# from these come the times at which parts are ready. You may add your own words to
# glue, filler, paint, decal and varnish.
#
# curing = {glue = "12h", filler = "24h", paint = "24h"}

# A journey, or a new home: from that day on (or from that minute there) photos
# that state no zone are read in this one, until the next entry. After a journey
# write an entry for the way home.
#
# [[zones]]
# from = "2024-07-03"
# name = "Asia/Tokyo"
#
# [[zones]]
# from = "2024-07-19 14:30"
# name = "Europe/Lisbon"

# Bench cards: a session without an end card ends after this much time without a
# photo; the same card photographed again within seconds counts once. Between begin
# and end, a stretch this long without any photo is pointed out.
card-silence = "90m"
card-twice = "15s"
card-unseen = "2h"

# A camera whose clock was wrong: fast = "1h3m" (or "-10m" when it was slow),
# from and to are days and may be left out.
#
# [[clock]]
# make = "as the photo's EXIF says it"
# model = "as the photo's EXIF says it"
# fast = "1h3m"
# from = "2024-03-01"
# to = "2024-05-12"

# What others see of this journal: rakelight publish DIR writes pages for them. What
# is private (rakelight help private) is not on those, whatever stands here.
[public]

# Are times of day shown? Days always are.
times = false

# Judges who said that they may be named. All others are called another judge.
judges = []

# true: a build is shown once it is finished, and private until then.
finished-only = false

# Where others read the pages, once you have put them there. Readers of the feed that
# do not understand relative addresses then find the pictures too.
#
# address = "https://example.org/bench/"

# The language of the pages for others, "en" or "de". Your own words stay as they are.
#
# language = "de"
`

const readme = `This folder is a photo journal of model builds. Everything in it is plain files.

journal.toml            the settings
inbox/                  drop photos here; folders such as inbox/my-build/clean/
                        say where they belong. What was taken in a moment ago
                        lies in inbox/.leaving for some minutes
builds/NAME/build.md    one build: its plan and checklists, in Markdown; records
                        and cards refer to NAME: do not rename the folder; the
                        title may change
builds/NAME/diary/      the words of a day, in Markdown: 2026-03-14.md
photos/                 the originals, byte for byte, never changed
records/                what happened, one JSON object a line, only ever added to
marks/                  how many records each computer wrote, so that check finds
                        those that vanish
pages/                  the diary as web pages; safe to delete
.cache/                 derived; safe to delete

Keep builds, photos, records, marks and journal.toml in your backup: everything
else can be rebuilt from them.

rakelight build my-build writes a build.md to begin with, and
rakelight help build.md tells every word it may hold.

A builds/my-build/build.md to copy:

---
title: Pilot boat
scale: 1/48
finish: painted
runners:
  - {letter: A, parts: "1-24, 30", class: flat}
  - {letter: B, parts: 12, class: small}
stages: [inspect, cut, clean, dry-fit, assemble, seam, prime, paint, decal, top-coat]
totals: {seam: 14, prime: 3, paint: 9, decal: 32, top-coat: 2}
---
What I want to build, and why.

## Supplies
- [ ] primer
- [x] filler

## Order of work
- [ ] check every runner

Totals count what the runners do not list, so that the forecast can count to the
end: seam in joins; prime, paint, gloss and top-coat in coats (one
coat or color on one sub-assembly); detail in items; decal in decals, not sheets;
cut, clean, dry-fit and assemble in parts where a build has no runners. 0 says
that there are none. Each of several kits may have its own. The rest (inspect,
wash, plan, line, weather, base) has hours but no count.
`
