# Makes bootstrap.json: a percentile and a BCa interval of an indirect effect over drawn units, by the package boot, with
# the draws themselves and the values without each unit, so that the interval is checked apart from the random numbers.
# Run: Rscript bootstrap.R > bootstrap.json   (R with package boot; versions are written into the file)
suppressMessages({library(boot); library(jsonlite)})
set.seed(20)
n <- 30
x <- rnorm(n); m <- 0.5 * x + rnorm(n); y <- 0.6 * m + rexp(n)
d <- data.frame(x, m, y)
ab <- function(d, i) { e <- d[i, ]; coef(lm(m ~ x, e))[2] * coef(lm(y ~ m + x, e))[2] }
b <- boot(d, ab, R = 399)
jack <- sapply(1:n, function(i) ab(d, setdiff(1:n, i)))
L <- (n - 1) * (mean(jack) - jack)
ci <- boot.ci(b, type = c("perc", "bca"), L = L)
cat(toJSON(list(
  source = paste("boot", packageVersion("boot"), "on", R.version.string),
  estimate = unname(b$t0), draws = as.numeric(b$t), jackknife = jack,
  percentile = as.numeric(ci$percent[4:5]), bca = as.numeric(ci$bca[4:5])), digits = NA, auto_unbox = TRUE))
