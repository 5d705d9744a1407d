package web

// route is one address: its pattern, the workshop's call whose right it asks
// for (none: anyone may), and what it does.
type route struct {
	pattern string
	call    string
	do      func(*visit) error
}

// routes is every address there is.
func (s *server) routes() []route {
	return []route{
		{"GET /{$}", "Today", today},
		{"GET /look", "", lookPage},
		{"GET /search", "Search", search},
		{"GET /history", "History", history},
		{"POST /restore/{kind}/{id}", "Restore", restore},

		{"GET /start/{key}", "", startPage},
		{"POST /start/{key}", "", start},
		{"GET /signin", "", signInPage},
		{"POST /signin", "", signIn},
		{"POST /signout", "", signOut},
		{"GET /card/{key}", "", cardPage},
		{"POST /card/{key}", "", cardIn},
		{"POST /language", "", language},
		{"GET /me", "SetLang", mePage},
		{"POST /me", "ChangePassphrase", changePassphrase},

		{"GET /orders", "Orders", orderList},
		{"GET /orders/new", "SaveOrder", orderForm},
		{"POST /orders/new", "SaveOrder", saveOrder},
		{"GET /orders/{id}", "Order", orderPage},
		{"GET /orders/{id}/edit", "SaveOrder", orderForm},
		{"POST /orders/{id}/edit", "SaveOrder", saveOrder},
		{"POST /orders/{id}/confirm", "ConfirmOrder", confirmOrder},
		{"POST /orders/{id}/cancel", "CancelOrder", cancelOrder},
		{"POST /orders/{id}/lots/{line}", "ChooseLots", chooseLots},
		{"GET /orders/{id}/{line}/cloth.svg", "Order", orderCloth},
		{"GET /orders/{id}/{line}/sheets.pdf", "Order", orderSheets},
		{"GET /orders/{id}/{line}/page/{page}", "Order", orderSheetPage},

		{"GET /customers", "Customers", customerList},
		{"GET /customers/new", "SaveCustomer", customerForm},
		{"POST /customers/new", "SaveCustomer", saveCustomer},
		{"GET /customers/{id}", "Customer", customerPage},
		{"GET /customers/{id}/edit", "SaveCustomer", customerForm},
		{"POST /customers/{id}/edit", "SaveCustomer", saveCustomer},

		{"GET /cloths", "Cloths", clothList},
		{"GET /cloths/new", "SaveCloth", newClothPage},
		{"POST /cloths/new", "SaveCloth", saveCloth},
		{"GET /cloths/{id}", "Cloth", clothPage},
		{"GET /cloths/{id}/edit", "SaveCloth", clothForm},
		{"POST /cloths/{id}/edit", "SaveCloth", saveCloth},
		{"GET /cloths/{id}/design", "SaveCloth", designer},
		{"GET /cloths/{id}/cloth.svg", "Cloth", clothPicture},
		{"GET /cloths/{id}/detail.png", "Cloth", clothDetail},
		{"GET /cloths/{id}/sheets.pdf", "Cloth", clothSheets},
		{"GET /cloths/{id}/file", "Cloth", clothDownload},

		{"GET /figures", "Figures", figureList},
		{"GET /figures/new", "SaveFigure", figureForm},
		{"POST /figures/new", "SaveFigure", saveFigure},
		{"GET /figures/{id}", "Figure", figurePage},
		{"GET /figures/{id}/edit", "SaveFigure", figureForm},
		{"POST /figures/{id}/edit", "SaveFigure", saveFigure},
		{"GET /figures/{id}/chart.svg", "Figure", figurePicture},

		{"GET /yarn", "Lots", lotList},
		{"GET /yarn/new", "SaveLot", lotForm},
		{"POST /yarn/new", "SaveLot", saveLot},
		{"GET /yarn/{id}", "Lot", lotPage},
		{"GET /yarn/{id}/edit", "SaveLot", lotForm},
		{"POST /yarn/{id}/edit", "SaveLot", saveLot},
		{"POST /yarn/{id}/receive", "Receive", receiveLot},
		{"POST /yarn/{id}/discard", "Discard", discardLot},

		{"GET /members", "Members", memberList},
		{"GET /members/new", "SaveMember", memberForm},
		{"POST /members/new", "SaveMember", saveMember},
		{"GET /members/{id}", "Member", memberPage},
		{"GET /members/{id}/edit", "SaveMember", memberForm},
		{"POST /members/{id}/edit", "SaveMember", saveMember},

		{"GET /work", "Jobs", jobList},
		{"GET /work/{id}", "Job", jobPage},
		{"POST /work/{id}/give", "GiveOut", giveOut},
		{"POST /work/{id}/laid", "Laid", laid},
		{"POST /work/{id}/tell", "Tell", tell},
		{"POST /work/{id}/back", "TakeBack", takeBack},
		{"POST /work/{id}/paid", "Paid", paid},
		{"POST /work/{id}/undo", "UndoJob", undoJob},
		{"GET /work/{id}/sheets.pdf", "Job", jobSheets},
		{"GET /work/{id}/page/{page}", "Job", jobSheetPage},
		{"GET /work/{id}/cloth.svg", "Job", jobCloth},

		{"GET /pieces", "Pieces", pieceList},
		{"GET /pieces/{id}", "Piece", piecePage},
		{"POST /pieces/{id}/finish", "Finish", finish},
		{"POST /pieces/{id}/deliver", "Deliver", deliver},
		{"POST /pieces/{id}/return", "Return", returnPiece},
		{"POST /pieces/{id}/repair", "Repair", repair},
		{"POST /pieces/{id}/undo", "UndoPiece", undoPiece},

		{"GET /settings", "SaveSettings", settingsPage},
		{"POST /settings", "SaveSettings", saveSettings},
		{"GET /settings/frames/{n}", "SaveSettings", framePage},
		{"POST /settings/frames/{n}", "SaveSettings", saveFrame},
		{"GET /settings/frames/{n}/frame.svg", "SaveSettings", framePicture},
		{"GET /people", "Accounts", peoplePage},
		{"GET /people/new", "SaveAccount", accountForm},
		{"POST /people/new", "SaveAccount", saveAccount},
		{"GET /people/{id}", "SaveAccount", accountForm},
		{"POST /people/{id}", "SaveAccount", saveAccount},
		{"POST /people/{id}/card", "MakeCard", makeCard},
		{"POST /people/{id}/nocard", "DropCards", dropCards},

		{"/", "", nothingHere},
	}
}
