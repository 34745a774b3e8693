// The numbers of parts, for runners in tests.

package journal

import "strconv"

func numberRange(from, to int) []string {
	var numbers []string
	for n := from; n <= to; n++ {
		numbers = append(numbers, strconv.Itoa(n))
	}
	return numbers
}
