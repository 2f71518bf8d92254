# Robust standard errors of least squares: writes small-clusters.csv and expected.json.
# Made with R 4.2.2, sandwich 3.0-2 (HC3), clubSandwich 0.5.8 (CR2, Satterthwaite, HTZ). Run: Rscript robust.R
suppressMessages({ library(sandwich); library(clubSandwich) })

set.seed(20240611)
sizes <- c(2, 3, 9, 4, 6, 2, 12, 5)
d <- data.frame(site = rep(paste0("s", seq_along(sizes)), sizes))
g <- as.integer(sub("s", "", d$site))
d$x <- round(rnorm(nrow(d)) + 0.3 * g, 3)
d$arm <- c("a", "b", "c")[(g - 1) %% 3 + 1]
d$period <- sample(c("one", "two", "three"), nrow(d), TRUE)
d$w <- c(0.5, 1, 2, 4, 1.5, 3, 0.8, 2.5)[g]
d$v <- round(runif(nrow(d), 0.5, 3), 2)
d$y <- round(2 + 0.5 * d$x + rnorm(length(sizes))[g] + (0.5 + abs(d$x)) * rnorm(nrow(d)), 3)
write.csv(d, "small-clusters.csv", row.names = FALSE, quote = FALSE)
d$arm <- factor(d$arm); d$period <- factor(d$period, levels = c("one", "two", "three"))

models <- "../models/"
ortho <- read.csv(paste0(models, "orthodont.csv")); ortho$Sex <- factor(ortho$Sex, levels = c("Male", "Female"))
sleep <- read.csv(paste0(models, "sleepstudy.csv"))

table <- function(fit, V, df) {
  b <- coef(fit); se <- sqrt(diag(V)); t <- b / se
  list(estimate = unname(b), standardError = unname(se), degreesOfFreedom = unname(df), statistic = unname(t),
       pValue = unname(2 * pt(-abs(t), df)), covariance = unname(as.matrix(V)))
}
hc3 <- function(fit, joint) {
  V <- vcovHC(fit, type = "HC3"); b <- coef(fit)
  tests <- lapply(joint, function(k) {
    f <- as.numeric(t(b[k]) %*% solve(V[k, k], b[k])) / length(k)
    list(numeratorDf = length(k), denominatorDf = fit$df.residual, f = f,
         pValue = pf(f, length(k), fit$df.residual, lower.tail = FALSE))
  })
  c(table(fit, V, rep(fit$df.residual, length(b))), list(tests = tests))
}
cr2 <- function(fit, cluster, joint, ...) {
  V <- vcovCR(fit, cluster = cluster, type = "CR2", ...)
  ct <- coef_test(fit, vcov = V, test = "Satterthwaite")
  tests <- lapply(joint, function(k) {
    w <- Wald_test(fit, constraints = constrain_zero(k), vcov = V, test = "HTZ")
    list(numeratorDf = w$df_num, denominatorDf = w$df_denom, f = w$Fstat, pValue = w$p_val)
  })
  c(table(fit, V, ct$df_Satt), list(tests = tests))
}
f1 <- lm(distance ~ age + Sex, ortho)
f2 <- lm(Reaction ~ Days, sleep)
f3 <- lm(y ~ x + arm + period, d)
f4 <- lm(y ~ x + arm + period, d, weights = w)
scaled <- model.matrix(f4) * sqrt(d$w)
f4s <- lm(I(sqrt(d$w) * d$y) ~ 0 + scaled)
f5 <- lm(y ~ x + arm + period, d, weights = v)
scaledV <- model.matrix(f5) * sqrt(d$v)
f5s <- lm(I(sqrt(d$v) * d$y) ~ 0 + scaledV)
f6 <- lm(y ~ x + factor(site), d)
out <- list(
  madeBy = paste0(R.version.string, "; sandwich ", packageVersion("sandwich"), "; clubSandwich ",
                  packageVersion("clubSandwich")),
  orthodont = list(hc3 = hc3(f1, list(2, 3)), cr2 = cr2(f1, ortho$Subject, list(2, 3))),
  sleepstudy = list(hc3 = hc3(f2, list(2)), cr2 = cr2(f2, sleep$Subject, list(2))),
  small = list(hc3 = hc3(f3, list(2, 3:4, 5:6)), cr2 = cr2(f3, d$site, list(2, 3:4, 5:6))),
  # Known weights as precisions: CR2 of the rows scaled to equal variance.
  weighted = list(hc3 = hc3(f4, list(2, 3:4, 5:6)), cr2 = cr2(f4s, d$site, list(2, 3:4, 5:6))),
  unequalWeights = list(hc3 = hc3(f5, list(2, 3:4, 5:6)), cr2 = cr2(f5s, d$site, list(2, 3:4, 5:6))),
  # Every site its own level: only x varies inside sites.
  siteLevels = list(x = { r <- cr2(f6, d$site, list(2)); list(estimate = r$estimate[2],
    standardError = r$standardError[2], degreesOfFreedom = r$degreesOfFreedom[2]) })
)
write(jsonlite::toJSON(out, digits = NA, auto_unbox = TRUE, pretty = 1), "expected.json")
