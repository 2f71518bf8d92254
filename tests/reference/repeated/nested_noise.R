# Makes nested_noise.json from ../models/pastes.csv (Davies and Goldsmith 1972) and nested_unbalanced.csv (invented).
# Variance components by lme4 (REML), profile intervals by lme4 (ML), modified large sample intervals and limits of
# agreement written out here from the published formulas. Run: Rscript nested_noise.R
suppressMessages({library(lme4); library(jsonlite)})
tight <- lmerControl(optimizer = "bobyqa", calc.derivs = FALSE,
                     optCtrl = list(rhobeg = 2e-2, rhoend = 1e-12, maxfun = 1e6))
set.seed(20261126)
unb <- do.call(rbind, lapply(seq_len(9), function(g) {
  level <- rnorm(1, 5, 4)
  do.call(rbind, lapply(seq_len(c(2, 3, 1, 2, 4, 2, 2, 3, 2)[g]), function(s) {
    day <- rnorm(1, 0, 1.5)
    n <- sample(2:7, 1)
    data.frame(golfer = sprintf("G%d", g), session = sprintf("G%d-%d", g, s), value = round(level + day + rnorm(n, 0, 2), 2))
  }))
}))
write.csv(unb, "nested_unbalanced.csv", row.names = FALSE, quote = FALSE)

components <- function(d) {
  names(d) <- c("unit", "occasion", "y")
  fit <- lmer(y ~ 1 + (1 | unit) + (1 | occasion), d, control = tight)
  ml <- lmer(y ~ 1 + (1 | unit) + (1 | occasion), d, REML = FALSE, control = tight)
  ci <- confint(profile(ml, devtol = 1e-9, prof.scale = "sdcor"), level = 0.95)
  v <- as.data.frame(VarCorr(fit))
  list(sd = setNames(as.list(v$sdcor), v$grp), mlSd = setNames(as.list(as.data.frame(VarCorr(ml))$sdcor), v$grp),
       profile = list(occasion = ci[".sig01", ], unit = ci[".sig02", ], residual = ci[".sigma", ]))
}
# Unweighted means: mean squares of values, of occasion means within units, of unit means.
squares <- function(d) {
  names(d) <- c("unit", "occasion", "y")
  occ <- aggregate(y ~ occasion + unit, d, mean); n <- aggregate(y ~ occasion + unit, d, length)$y
  inside <- sum((d$y - ave(d$y, d$occasion))^2); dfe <- nrow(d) - nrow(occ)
  r <- ave(occ$y, occ$unit, FUN = length); two <- r > 1
  dfs <- sum(two) - length(unique(occ$unit[two]))
  unit <- tapply(occ$y, occ$unit, mean)
  list(value = inside / dfe, valueDf = dfe, occasion = sum((occ$y - ave(occ$y, occ$unit))^2) / dfs, occasionDf = dfs,
       unit = var(unit), unitDf = length(unit) - 1,
       perValue = sum(((r - 1) * ave(1 / n, occ$unit) / r)[two]) / dfs,
       a = mean(1 / tapply(r, occ$unit, mean)), b = mean(tapply(1 / n, occ$unit, sum) / tapply(n, occ$unit, length)^2))
}
# Burdick and Graybill 1992 ch. 3: sum of c_i S_i^2 (like signs: Graybill and Wang; unlike: Ting et al.).
mls <- function(c, s2, df, level = 0.95) {
  keep <- abs(c) > 1e-12; c <- c[keep]; s2 <- s2[keep]; df <- df[keep]; a <- (1 - level) / 2
  G <- 1 - 1 / qf(a, df, Inf, lower.tail = FALSE); H <- 1 / qf(1 - a, df, Inf, lower.tail = FALSE) - 1
  k <- abs(c); p <- which(c > 0); m <- which(c < 0)
  VL <- sum(G[p]^2 * k[p]^2 * s2[p]^2) + sum(H[m]^2 * k[m]^2 * s2[m]^2)
  VU <- sum(H[p]^2 * k[p]^2 * s2[p]^2) + sum(G[m]^2 * k[m]^2 * s2[m]^2)
  for (q in p) for (r in m) {
    f1 <- qf(a, df[q], df[r], lower.tail = FALSE); f2 <- qf(1 - a, df[q], df[r], lower.tail = FALSE)
    VL <- VL + ((f1 - 1)^2 - G[q]^2 * f1^2 - H[r]^2) / f1 * k[q] * k[r] * s2[q] * s2[r]
    VU <- VU + ((1 - f2)^2 - H[q]^2 * f2^2 - G[r]^2) / f2 * k[q] * k[r] * s2[q] * s2[r]
  }
  v <- sum(c * s2); list(value = v, interval = c(v - sqrt(max(0, VL)), v + sqrt(max(0, VU))))
}
moments <- function(d) {
  q <- squares(d); s2 <- c(q$unit, q$occasion, q$value); df <- c(q$unitDf, q$occasionDf, q$valueDf)
  weigh <- function(u, o, v) { oo <- o - u * q$a; mls(c(u, oo, v - u * q$b - oo * q$perValue), s2, df) }
  list(squares = q, unit = weigh(1, 0, 0), occasion = weigh(0, 1, 0), value = weigh(0, 0, 1),
       oneValue = weigh(0, 1, 1), meanOf8 = weigh(0, 1, 1 / 8), meanOf3x10 = weigh(0, 1 / 3, 1 / 30))
}
pastes <- read.csv("../models/pastes.csv")[, c("batch", "sample", "strength")]
# Replicated agreement (Bland and Altman 2007; Zou 2013): the unbalanced values as differences of units.
zou <- function(d, level = 0.95) {
  g <- split(d$value, d$golfer); m <- sapply(g, length); mean_i <- sapply(g, mean)
  n <- length(g); N <- nrow(d); sw2 <- sum((d$value - ave(d$value, d$golfer))^2) / (N - n)
  sd2 <- var(mean_i); w <- 1 - mean(1 / m); tot <- sd2 + w * sw2; a <- (1 - level) / 2
  up <- sqrt((sd2 * ((n - 1) / qchisq(a, n - 1) - 1))^2 + (w * sw2 * ((N - n) / qchisq(a, N - n) - 1))^2)
  lo <- sqrt((sd2 * (1 - (n - 1) / qchisq(1 - a, n - 1)))^2 + (w * sw2 * (1 - (N - n) / qchisq(1 - a, N - n)))^2)
  d0 <- mean(mean_i); half <- qt(1 - a, n - 1) * sqrt(sd2 / n); s <- sqrt(tot)
  lower <- d0 - 1.96 * s; upper <- d0 + 1.96 * s
  out <- sqrt(half^2 + 1.96^2 * (sqrt(tot + up) - s)^2); inn <- sqrt(half^2 + 1.96^2 * (s - sqrt(tot - lo))^2)
  list(mean = d0, meanInterval = d0 + c(-1, 1) * half, sd = s, lower = lower, lowerInterval = c(lower - out, lower + inn),
       upper = upper, upperInterval = c(upper - inn, upper + out))
}
# lme4 interpolates its profile, which near an SD of zero is off in the second digit (0.150 against 0.170 here): the lower
# end for the occasions of the unbalanced values from the whole covariance matrix, by root finding.
lowerEnd <- function(d) {
  U <- outer(d$golfer, d$golfer, "==") * 1; O <- outer(d$session, d$session, "==") * 1; I <- diag(nrow(d)); one <- rep(1, nrow(d))
  deviance <- function(su, so, se) {
    R <- chol(su^2 * U + so^2 * O + se^2 * I)
    a <- backsolve(R, d$value, transpose = TRUE); b <- backsolve(R, one, transpose = TRUE); m <- sum(a * b) / sum(b * b)
    sum((a - m * b)^2) + 2 * sum(log(diag(R)))
  }
  fine <- list(reltol = 1e-15, maxit = 5000)
  least <- optim(c(2.5, 1.1, 2.1), function(p) deviance(p[1], p[2], p[3]), control = fine)$value
  rise <- function(so) optim(c(2.5, 2.1), function(p) deviance(p[1], so, p[2]), control = fine)$value - least
  uniroot(function(s) rise(s) - qchisq(0.95, 1), c(0.01, 0.5), tol = 1e-10)$root
}
slope <- function() {
  p <- read.csv("bland_altman_1986_pefr.csv"); d <- p$wright1 - p$mini1; x <- (p$wright1 + p$mini1) / 2
  f <- lm(d ~ x); list(slope = coef(f)[["x"]], interval = confint(f)["x", ], p = summary(f)$coefficients["x", 4])
}
out <- list(software = paste(R.version.string, "lme4", packageVersion("lme4")),
            pastes = c(components(pastes), list(moments = moments(pastes))),
            unbalanced = c(components(unb), list(moments = moments(unb), agreement = zou(unb), lowerEnd = lowerEnd(unb))),
            peakFlowSlope = slope(), bartlett = with(bartlett.test(value ~ golfer, unb), list(chiSquared = unname(statistic), p = p.value)),
            bartlettVariances = unname(tapply(unb$value, unb$golfer, var)), bartlettCounts = unname(c(table(unb$golfer))))
write(toJSON(out, digits = 12, auto_unbox = TRUE, pretty = TRUE), "nested_noise.json")
