package main

// tables is every figure of the page. Aims are the project's own.
var tables = []table{
	{"A cloth, from its file to the sheets", []row{
		{what: "`plan.Make`, about 580 ends, two brocaded birds, no frame", key: "plan Make/without_a_frame ns/op", scale: 1e-6, unit: " ms", aim: 1},
		{what: "the same with a frame of 8 pegs", key: "plan Make/with_a_frame ns/op", scale: 1e-6, unit: " ms", aim: 1},
		{what: "500 orders planned, frame and all", key: "bench Orders ms-plans", unit: " ms",
			against: "a general-purpose spreadsheet opening, reckoning and writing the same numbers", other: "bench Orders ms-spreadsheet-all"},
		{what: "picture of a 606-end cloth, 1600 × 1200, as PNG", key: "draw Cloth_png ns/op", scale: 1e-6, unit: " ms", aim: 60,
			against: "writing as many pixels as PNG", other: "draw Pixels_png ns/op"},
		{what: "the same under the lens, thread by thread", key: "draw Lens_png ns/op", scale: 1e-6, unit: " ms", aim: 60,
			against: "writing as many pixels as PNG", other: "draw Pixels_png ns/op"},
		{what: "all sheets of the runner as one PDF", key: "sheet PDF_runner ns/op", scale: 1e-6, unit: " ms", aim: 100},
		{what: "best path on frames of 24 pegs, at worst", key: "warp/frame Find/24_pegs max-ms", unit: " ms", aim: 50},
	}},
	{"The designer in a browser, to the pixels, 900 ends", []row{
		{what: "desk, a stripe dragged wider", key: "internal/web/browser Redraw/desk/slowed_1/edge whole-ms", unit: " ms", aim: 16},
		{what: "telephone, the same", key: "internal/web/browser Redraw/telephone/slowed_1/edge whole-ms", unit: " ms", aim: 16},
		{what: "desk, processor at a quarter", key: "internal/web/browser Redraw/desk/slowed_4/edge whole-ms", unit: " ms", aim: 50},
		{what: "telephone, processor at a quarter", key: "internal/web/browser Redraw/telephone/slowed_4/edge whole-ms", unit: " ms", aim: 50},
	}},
	{"The dye house", []row{
		{what: "one lot reckoned", key: "dye Make ns/op", scale: 1e-3, unit: " µs"},
		{what: "dye plan of 300 wants, 12 recipes, 4 pots, 60 days: first answer", key: "dye/lots New ns/op", scale: 1e-6, unit: " ms", aim: 50},
		{what: "work above the bound after 1 s", key: "dye/lots Improve %gap-after-1s", unit: " %", against: "at once", other: "dye/lots Improve %gap-at-once"},
		{what: "colour difference CIEDE2000", key: "colour Difference ns/op", unit: " ns"},
	}},
	{"The schedule of a workshop", []row{
		{what: "300 open orders, 80 members, 6 pots, 180 days: first complete schedule", key: "schedule/bench Workshop/1 ms-to-first", unit: " ms", aim: 200},
		{what: "weighted days late after 2 s", key: "schedule/bench Workshop/1 late-after-2s", unit: "", within: 0.05, against: "after a minute",
			other: "schedule/bench Workshop/1 late-after-1m0s"},
		{what: "a second workshop", key: "schedule/bench Workshop/2 late-after-2s", unit: "", within: 0.05, against: "after a minute",
			other: "schedule/bench Workshop/2 late-after-1m0s"},
		{what: "a third, its pots full for six weeks", key: "schedule/bench Workshop/3 late-after-2s", unit: "", within: 0.05, against: "after a minute",
			other: "schedule/bench Workshop/3 late-after-1m0s"},
		{what: "a fourth", key: "schedule/bench Workshop/4 late-after-2s", unit: "", within: 0.05, against: "after a minute",
			other: "schedule/bench Workshop/4 late-after-1m0s"},
		{what: "memory of that search", key: "schedule/bench Workshop/1 MB", unit: " MB", aim: 300},
		{what: "a date for a new order among 300, from records to answer", key: "internal/workshop PromiseFor ns/op", scale: 1e-9, unit: " s", aim: 2},
		{what: "the same orders gathered and first timetable", key: "internal/workshop Timetable ns/op", scale: 1e-9, unit: " s"},
	}},
	{"The schedule on open instances", projects()},
	{"The server", []row{
		{what: "cold start of the program to its first answer", key: "bench Server/start ns/op", scale: 1e-6, unit: " ms", aim: 200},
		{what: "resident after 250 pages of the made-up workshop", key: "bench Server/walked MB", unit: " MB", aim: 100},
		{what: "100 people, each a click a second, SQLite: median", key: "internal/web Clicking/every_1s/SQLite median-ms", unit: " ms", aim: 10,
			against: "a bare handler of as many bytes", other: "internal/web Clicking_bare median-ms"},
		{what: "the same, slowest of a hundred pages", key: "internal/web Clicking/every_1s/SQLite p99-ms", unit: " ms", aim: 50,
			against: "a bare handler of as many bytes", other: "internal/web Clicking_bare p99-ms"},
		{what: "the same on PostgreSQL: median", key: "internal/web Clicking/every_1s/PostgreSQL median-ms", unit: " ms", aim: 10},
		{what: "slowest of a hundred", key: "internal/web Clicking/every_1s/PostgreSQL p99-ms", unit: " ms", aim: 50},
		{what: "pages a second without a pause, SQLite", key: "internal/web Clicking/every_0s/SQLite pages/s", unit: " /s"},
		{what: "the same, PostgreSQL", key: "internal/web Clicking/every_0s/PostgreSQL pages/s", unit: " /s"},
		{what: "durable acts with their history, SQLite", key: "internal/store Update/SQLite/store writes/s", unit: " /s",
			against: "the bare driver's single inserts", other: "internal/store Update/SQLite/driver writes/s"},
		{what: "the same, PostgreSQL", key: "internal/store Update/PostgreSQL/store writes/s", unit: " /s",
			against: "the bare driver's single inserts", other: "internal/store Update/PostgreSQL/driver writes/s"},
		{what: "a page of 50 of 100 000 records, SQLite", key: "internal/store List/SQLite/middle ns/op", scale: 1e-6, unit: " ms"},
		{what: "the same, PostgreSQL", key: "internal/store List/PostgreSQL/middle ns/op", scale: 1e-6, unit: " ms"},
	}},
}

// projects is the open instances: means over the sample, and single ones beside a
// solver.
func projects() []row {
	rows := []row{
		{what: "30 activities, 40 instances, after 5 000 schedules: over the best known", key: "schedule/bench PSPLIB/j30 %over-best-5000", unit: " %", aim: 0.1},
	}
	for _, of := range []struct{ set, says string }{{"j30", "30 activities"}, {"j60", "60 activities, 20 instances"}, {"j120", "120 activities, 20 instances"}} {
		for _, after := range []struct{ n, says string }{{"1000", "1 000"}, {"5000", "5 000"}, {"50000", "50 000"}} {
			if of.set == "j30" && after.n == "5000" {
				continue
			}
			rows = append(rows, row{what: of.says + ", after " + after.says + " schedules: over the best known", key: "schedule/bench PSPLIB/" + of.set + " %over-best-" + after.n, unit: " %"})
		}
	}
	rows = append(rows,
		row{what: "120 activities, after 50 000 schedules: over the longest chain", key: "schedule/bench PSPLIB/j120 %over-path-50000", unit: " %"},
		row{what: "schedules a second, 120 activities", key: "schedule/bench PSPLIB/j120 schedules/s", unit: " /s"},
		row{what: "flexible job shops, 50 000 schedules: over the best known", key: "schedule/bench FJSP %over-best-50000", unit: " %", aim: 3})
	for _, name := range compared {
		rows = append(rows, row{what: name + ", 10 s: day it ends", key: "bench Project/" + name + " ends", unit: "",
			against: "a general constraint solver, as long", other: "bench Project/" + name + " solver-ends"})
	}
	return rows
}

// curves is what is shown to grow.
var curves = []curve{
	{title: "How the first schedule grows", file: "speed-schedule.svg", across: "open orders", up: "ms", points: []point{
		{300, "schedule/bench Workshop_growth/300_orders_80_people ns/op", 1e-6},
		{1000, "schedule/bench Workshop_growth/1000_orders_250_people ns/op", 1e-6},
		{5000, "schedule/bench Workshop_growth/5000_orders_1000_people ns/op", 1e-6},
	}},
}
