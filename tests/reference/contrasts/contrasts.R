# Adjusted means, pairwise differences and single-step p-values; spline fits. Writes ward.csv and expected.json.
# Made with R 4.2.2, emmeans 1.8.4-1, multcomp 1.4-22 (mvtnorm 1.1-3), splines 4.2.2. Run: Rscript contrasts.R
suppressMessages({ library(emmeans); library(multcomp); library(splines) })
set.seed(20240612)
n <- 46
d <- data.frame(arm = sample(c("p", "q", "r", "s"), n, TRUE, c(4, 2, 1.5, 3)), day = sample(c("one", "two"), n, TRUE),
                x = round(rnorm(n, 3, 2), 2))
d$y <- round(c(p = 0, q = 1, r = 2, s = 0.5)[d$arm] + 0.4 * d$x + ifelse(d$day == "two", 0.6, 0) *
               (d$arm == "q") + rnorm(n), 3)
write.csv(d, "ward.csv", row.names = FALSE, quote = FALSE)
d$arm <- factor(d$arm); d$day <- factor(d$day)
fit <- lm(y ~ arm * day + x + I(x^2), d)
em <- emmeans(fit, "arm")
means <- as.data.frame(em)
pairs <- lapply(c(mvt = "mvt", tukey = "tukey", holm = "holm"), function(a) as.data.frame(pairs(em, adjust = a)))
cell <- as.data.frame(emmeans(fit, c("arm", "day"), at = list(x = 1)))
plain <- lm(y ~ arm, d)
set.seed(1)
dunnett <- summary(glht(plain, linfct = mcp(arm = "Dunnett")), test = adjusted("single-step", abseps = 1e-6, maxpts = 1e6))
ci <- confint(glht(plain, linfct = mcp(arm = "Dunnett")), level = 0.95)
spline <- lapply(3:5, function(k) { f <- lm(y ~ ns(x, df = k), d)
  list(df = k, fitted = unname(fitted(f)), knots = unname(attr(f$model[[2]], "knots")),
       boundary = attr(f$model[[2]], "Boundary.knots"), residualSd = summary(f)$sigma) })
out <- list(madeBy = paste0(R.version.string, "; emmeans ", packageVersion("emmeans"), "; multcomp ", packageVersion("multcomp"),
                            "; mvtnorm ", packageVersion("mvtnorm")),
  means = means, pairs = pairs, cell = cell,
  dunnett = list(estimate = unname(dunnett$test$coefficients), t = unname(dunnett$test$tstat), p = as.numeric(dunnett$test$pvalues),
                 lower = unname(ci$confint[, 2]), upper = unname(ci$confint[, 3])),
  spline = spline)
write(jsonlite::toJSON(out, digits = NA, auto_unbox = TRUE, pretty = 1, dataframe = "columns"), "expected.json")
