package schedule

// Clock is compiled hours, for tests.
type Clock = clock

// NoTime is what stands for no time.
const NoTime = never

// NewClock compiles hours, each from one minute to another.
func NewClock(hours [][2]int32) *Clock {
	spans := make([]span, len(hours))
	for i, h := range hours {
		spans[i] = span{h[0], h[1]}
	}
	return newClock(spans)
}

// Hours is when it runs.
func (c *clock) Hours() (out [][2]int32) {
	for _, s := range c.spans {
		out = append(out, [2]int32{s.from, s.to})
	}
	return out
}

// The reckoning with hours.
var (
	Run      = (*clock).run
	AtLeast  = (*clock).atLeast
	Together = together
)
