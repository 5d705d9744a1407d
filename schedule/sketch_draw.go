package schedule

// draw places everything on the walk as the sketch has it: lots and stints in the order
// in which they begin, each as early as it fits, and the rest where there is room left.
// Lots have just the times of the sketch, or may begin sooner: then one may take what
// another was given, and yet the whole may be the better for it.
func (k *sketch) draw(s *Search, rank *ranking, sooner bool) {
	n := k.net
	chosen := make([]int32, len(n.tasks))
	for i := range chosen {
		chosen[i] = -1
	}
	for u := range n.units {
		t := &n.tasks[n.units[u].tasks[0]]
		rank.key[u] = float64(t.latest) - float64(t.usual)
	}
	const first = -float64(never) / 2
	for l := range k.lots {
		q := &k.lots[l]
		rank.key[q.unit] = first + float64(q.at)
		if !sooner {
			s.walk.lower[n.units[q.unit].tasks[q.mark]] = q.at
		}
	}
	for q := range k.stints {
		for x, p := range k.stints[q].parts {
			chosen[p.task] = n.tasks[p.task].optionOf(k.stints[q].person)
			rank.key[n.tasks[p.task].unit] = first + float64(k.stints[q].start) + float64(x)
		}
	}
	s.serial(s.walk, n.all(), rank, &rule{chosen: chosen, chance: &s.chance, look: mostLooks})
	clear(s.walk.lower)
	s.walk.refreshAll()
}
