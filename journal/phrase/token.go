// This file cuts a text into words, numbers and signs.

package phrase

import (
	"regexp"
	"strconv"
	"strings"
)

// token is one word, number or sign, in small letters.
type token struct {
	text  string
	glued bool // no space before it
}

var pieces = regexp.MustCompile(`\d{4}-\d{2}-\d{2}|\d{4}-\d{2}\b|\d{1,2}\.\d{1,2}\.(?:\d{4})?|\d{1,2}/\d{1,2}/\d{4}|\d+(?:[.,:/]\d+)?|[½¼¾]|\p{L}+(?:['’]\p{L}+)?|[-–—~]|[^\s]`)

// tokens cuts a text up. Commas and full stops between words say nothing.
func tokens(text string) []token {
	low := strings.ToLower(text)
	var out []token
	end := -1
	for _, at := range pieces.FindAllStringIndex(low, -1) {
		word := low[at[0]:at[1]]
		if word == "." || word == "," || word == ";" {
			continue
		}
		if word == "–" || word == "—" {
			word = "-"
		}
		out = append(out, token{text: word, glued: at[0] == end})
		end = at[1]
	}
	return out
}

var numberWords = map[string]float64{
	"one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8, "nine": 9, "ten": 10,
	"eleven": 11, "twelve": 12, "thirteen": 13, "fourteen": 14, "fifteen": 15, "sixteen": 16, "seventeen": 17,
	"eighteen": 18, "nineteen": 19,
	"twenty": 20, "thirty": 30, "forty": 40, "fifty": 50, "sixty": 60, "seventy": 70, "eighty": 80, "ninety": 90,
}

var fractions = map[string]float64{"½": 0.5, "¼": 0.25, "¾": 0.75, "1/2": 0.5, "1/4": 0.25, "3/4": 0.75}

var plainNumber = regexp.MustCompile(`^\d+(?:[.,]\d+)?$`)

// quantity reads a number at a token: 40, 1,5, 1½, 1 1/2, forty-five, "one and
// a half". n is the count of tokens, 0 = there is none.
func (s *said) quantity(i int) (value float64, n int) {
	t := s.at(i).text
	if f, ok := fractions[t]; ok {
		return f, 1
	}
	switch {
	case plainNumber.MatchString(t):
		value, n = decimal(t), 1
		if f, ok := fractions[s.at(i+1).text]; ok && value == float64(int(value)) {
			return value + f, 2
		}
	case numberWords[t] > 0:
		value, n = numberWords[t], 1
		if value >= 20 {
			j := i + 1
			if s.at(j).text == "-" {
				j++
			}
			if ones := numberWords[s.at(j).text]; ones > 0 && ones < 10 {
				value, n = value+ones, j+1-i
			}
		}
	default:
		return 0, 0
	}
	if s.at(i+n).text == "and" && s.at(i+n+1).text == "a" {
		if f, ok := halves[s.at(i+n+2).text]; ok {
			return value + f, n + 3
		}
	}
	return value, n
}

// halves are the fractions people say.
var halves = map[string]float64{"half": 0.5, "quarter": 0.25}

// decimal reads digits that a pattern has vouched for; a comma is a decimal
// point in much of the world.
func decimal(text string) float64 {
	f, _ := strconv.ParseFloat(strings.ReplaceAll(text, ",", "."), 64)
	return f
}

// whole reads digits that a pattern has vouched for.
func whole(text string) int {
	n, _ := strconv.Atoi(text)
	return n
}
