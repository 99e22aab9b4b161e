"""The shop book on paper: its pictures, its words in columns, its pages."""
