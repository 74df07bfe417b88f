package reading

import "strconv"

// Block is a line of motion: its words by letter.
type Block struct {
	Has   [26]bool
	Value [26]float64
	G, M  []float64 // several may stand in a line
	Bad   string    // what of the line isn't a word
}

// Word is the value of a letter's word.
func (b *Block) Word(letter byte) (float64, bool) {
	return b.Value[letter-'A'], b.Has[letter-'A']
}

// ParseBlock splits a line into words, without its comments: ";" to the end of
// the line, or in brackets (NISTIR 6556, 3.3.4). Spaces and capitals don't
// matter.
func ParseBlock(line string) Block {
	var b Block
	for i := 0; i < len(line); {
		switch c := line[i]; {
		case c == ';':
			return b
		case c == '(':
			for i < len(line) && line[i] != ')' {
				i++
			}
			i++
		case c == ' ' || c == '\t' || c == '\r':
			i++
		case c >= 'A' && c <= 'Z' || c >= 'a' && c <= 'z':
			letter := c &^ 0x20
			from := i + 1
			for i = from; i < len(line) && isNumber(line[i]); i++ {
			}
			v, err := strconv.ParseFloat(line[from:i], 64)
			if err != nil {
				b.Bad = line[from-1:]
				return b
			}
			switch letter {
			case 'G':
				b.G = append(b.G, v)
			case 'M':
				b.M = append(b.M, v)
			}
			b.Has[letter-'A'], b.Value[letter-'A'] = true, v
		default:
			b.Bad = line[i:]
			return b
		}
	}
	return b
}

func isNumber(c byte) bool {
	return c >= '0' && c <= '9' || c == '.' || c == '-' || c == '+'
}
