# Reference values for likelihood-ratio tests, profile intervals, bootstrap SDs and degrees of freedom at a boundary.
# R 4.2.2, lme4 1.1-31, lmerTest 3.1-3. Run in this folder: Rscript reference.R > reference.json
suppressMessages({library(lme4); library(lmerTest)})
sleep <- read.csv("../sleepstudy.csv"); sleep$Subject <- factor(sleep$Subject)
tight <- lmerControl(optimizer = "bobyqa", optCtrl = list(rhoend = 1e-12, maxfun = 1e5), calc.derivs = FALSE,
                     check.conv.singular = "ignore")
number <- function(x) paste0("[", paste(formatC(x, digits = 17, format = "g"), collapse = ", "), "]")
out <- character()
put <- function(name, x) out <<- c(out, sprintf('  "%s": %s', name, x))

# Likelihood ratio, maximum likelihood fits.
whole <- lme4::lmer(Reaction ~ Days + (Days | Subject), sleep, REML = FALSE, control = tight)
small <- lme4::lmer(Reaction ~ Days + (1 | Subject), sleep, REML = FALSE, control = tight)
flat  <- lme4::lmer(Reaction ~ 1 + (Days | Subject), sleep, REML = FALSE, control = tight)
none  <- lm(Reaction ~ Days, sleep)
a <- anova(flat, whole); put("ratio_fixed", number(c(a$Chisq[2], a$Df[2], a$`Pr(>Chisq)`[2])))
b <- anova(small, whole); put("ratio_slope", number(c(b$Chisq[2], b$Df[2], b$`Pr(>Chisq)`[2])))
put("ratio_intercept", number(c(2 * (logLik(small) - logLik(none)))))

# Exact profile end points: roots of the deviance with one parameter held and all others optimised.
dev <- lme4:::devfun2(whole, useSc = TRUE, signames = FALSE)
best <- attr(dev, "optimum"); base <- attr(dev, "basedev")
crit <- qchisq(0.95, 1)
held <- function(k, value) {
  start <- warm
  f <- function(free) { p <- numeric(4); p[k] <- value; p[-k] <- free
    if (any(p[c(1, 3, 4)] < 0) || abs(p[2]) > 1) return(1e6); dev(p) }
  for (i in 1:2) start <- optim(start, f, method = "Nelder-Mead",
                                control = list(reltol = 1e-13, maxit = 5000, parscale = abs(start) + 0.1))$par
  warm <<- start
  f(start) - base - crit
}
ends <- list(c(8, best[1], 60), c(-0.9, best[2], 0.99), c(2, best[3], 14), c(18, best[4], 36))
for (k in 1:4) {
  warm <- best[1:4][-k]
  lower <- uniroot(function(v) held(k, v), ends[[k]][1:2], tol = 1e-7)$root
  warm <- best[1:4][-k]
  upper <- uniroot(function(v) held(k, v), ends[[k]][2:3], tol = 1e-7)$root
  put(c("profile_sd_intercept", "profile_correlation", "profile_sd_days", "profile_residual")[k], number(c(lower, upper)))
}
fixedHeld <- function(name, value) {
  d <- sleep; d$off <- if (name == "Days") value * d$Days else value
  m <- if (name == "Days") lme4::lmer(Reaction ~ 1 + (Days | Subject), d, offset = off, REML = FALSE, control = tight)
       else lme4::lmer(Reaction ~ 0 + Days + (Days | Subject), d, offset = off, REML = FALSE, control = tight)
  as.numeric(-2 * logLik(m)) - base - crit
}
for (name in c("(Intercept)", "Days")) {
  at <- fixef(whole)[[name]]; se <- sqrt(vcov(whole)[name, name])
  put(paste0("profile_", if (name == "Days") "Days" else "intercept"), number(c(
    uniroot(function(v) fixedHeld(name, v), c(at - 5 * se, at), tol = 1e-8)$root,
    uniroot(function(v) fixedHeld(name, v), c(at, at + 5 * se), tol = 1e-8)$root)))
}

# Parametric bootstrap of the REML fit: SDs and 2.5 % and 97.5 % points over 1,000 draws.
reml <- lme4::lmer(Reaction ~ Days + (Days | Subject), sleep, control = tight)
parameters <- function(m) { v <- VarCorr(m)$Subject; s <- attr(v, "stddev"); c(fixef(m), s, attr(v, "correlation")[1, 2], sigma(m)) }
boot <- suppressWarnings(bootMer(reml, parameters, nsim = 1000, seed = 1, type = "parametric"))$t
put("bootstrap_sd", number(apply(boot, 2, sd, na.rm = TRUE)))
put("bootstrap_lower", number(apply(boot, 2, quantile, 0.025, na.rm = TRUE)))
put("bootstrap_upper", number(apply(boot, 2, quantile, 0.975, na.rm = TRUE)))

# Degrees of freedom where a variance is estimated as zero: 12 groups of 5, outcomes with no group variance at all.
set.seed(4); g <- gl(12, 5); x <- rep(0:4, 12)
repeat { y <- rnorm(60) + 0.3 * x; m <- lmerTest::lmer(y ~ x + (1 | g), control = tight); if (isSingular(m)) break }
write.csv(data.frame(y = y, x = x, g = g), "singular.csv", row.names = FALSE, quote = FALSE)
put("singular_intercept_df", number(coef(summary(m))[, "df"]))
m2 <- lmerTest::lmer(y ~ x + (x | g), control = tight)
put("singular_slope_df", number(coef(summary(m2))[, "df"])); put("singular_slope_theta", number(getME(m2, "theta")))
cat("{\n  \"made_with\": \"R 4.2.2, lme4 1.1-31, lmerTest 3.1-3; reference.R\",\n", paste(out, collapse = ",\n"), "\n}\n", sep = "")
