"""The demonstration bay: one study whose start is drawn again while a slider moves."""
