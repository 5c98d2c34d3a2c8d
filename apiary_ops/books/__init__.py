"""The books: accounts, sealed entries, periods and gapless number series. They only grow."""
