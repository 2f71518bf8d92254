# Makes residual_expected.json and ovary.csv. Run here: Rscript residual.R
# Mixed and least-squares models with unequal residual variance or autocorrelated residuals, fitted by nlme from a
# description of each model; nothing of the project is read but the data.
suppressMessages({library(nlme); library(jsonlite)})
ovary <- as.data.frame(Ovary)
ovary <- data.frame(Mare = as.character(ovary$Mare), Time = ovary$Time, follicles = ovary$follicles)
ovary$order <- ave(ovary$Time, ovary$Mare, FUN = seq_along)
ovary$sine <- round(sin(2 * pi * ovary$Time), 10); ovary$cosine <- round(cos(2 * pi * ovary$Time), 10)
ovary$Time <- NULL
write.csv(ovary, "ovary.csv", row.names = FALSE, quote = FALSE)
ovary <- read.csv("ovary.csv"); ovary$Mare <- factor(ovary$Mare)
# Steps are missing: every fifth row and a run of three in each mare.
gaps <- subset(ovary, order %% 5 != 0 & !(order %in% 11:13))
ortho <- read.csv("../orthodont.csv"); ortho$Subject <- factor(ortho$Subject); ortho$Sex <- factor(ortho$Sex)
ortho$visit <- (ortho$age - 6) / 2
ortho$w <- ifelse(ortho$age > 10, 2, 1)

tight <- lmeControl(opt = "nlminb", msTol = 1e-14, tolerance = 1e-12, maxIter = 500, msMaxIter = 1000, niterEM = 50,
                    msMaxEval = 5000, returnObject = TRUE, nlmStepMax = 100)
tight_gls <- glsControl(opt = "nlminb", msTol = 1e-14, tolerance = 1e-12, maxIter = 500, msMaxIter = 1000,
                        returnObject = TRUE)

pars <- function(fit) {
  v <- fit$modelStruct$varStruct; out <- list()
  if (!is.null(v)) {
    parts <- if (inherits(v, "varComb")) v else list(v)
    for (part in parts) if (length(coef(part)) > 0) {
      if (inherits(part, "varPower")) out$power <- as.numeric(coef(part))
      else out$ratio <- as.list(coef(part, unconstrained = FALSE, allCoef = TRUE))
    }
  }
  cs <- fit$modelStruct$corStruct
  if (!is.null(cs)) out$autocorrelation <- as.numeric(coef(cs, unconstrained = FALSE))
  out
}
describe <- function(fit) {
  mixed <- inherits(fit, "lme")
  beta <- if (mixed) fixef(fit) else coef(fit)
  # gls scales its covariance to the divisor n - p whatever the method: brought back to n for ML.
  n <- fit$dims$N; p <- length(beta)
  v <- fit$varFix; if (!mixed) v <- fit$varBeta
  se <- sqrt(diag(v)) * if (fit$method == "ML" && !mixed) sqrt((n - p) / n) else 1
  out <- list(fixed = unname(beta), standardError = unname(se), residualSd = fit$sigma,
              logLikelihood = as.numeric(logLik(fit)), parameters = pars(fit), aic = AIC(fit))
  if (mixed) {
    s <- as.matrix(getVarCov(fit))
    out$randomSd <- unname(sqrt(diag(s)))
    if (nrow(s) > 1) out$randomCorrelation <- s[1, 2] / sqrt(s[1, 1] * s[2, 2])
  }
  # Approximate 95 % intervals of the residual parameters, from numerical second derivatives.
  spread <- tryCatch(intervals(fit, which = "var-cov"), error = function(e) NULL)
  if (!is.null(spread$corStruct)) out$autocorrelationInterval <- unname(spread$corStruct[1, c("lower", "upper")])
  if (!is.null(spread$varStruct)) out$ratioInterval <- unname(spread$varStruct[1, c("lower", "upper")])
  out
}
wave <- follicles ~ sine + cosine
growth <- distance ~ age * Sex
fits <- list(
  ovary_lme_ar1_reml = lme(wave, ovary, ~ 1 | Mare, corAR1(form = ~ order | Mare), control = tight),
  ovary_lme_ar1_ml = lme(wave, ovary, ~ 1 | Mare, corAR1(form = ~ order | Mare), method = "ML", control = tight),
  ovary_gls_ar1_reml = gls(wave, ovary, corAR1(form = ~ order | Mare), control = tight_gls),
  ovary_gaps_lme_ar1_reml = lme(wave, gaps, ~ 1 | Mare, corAR1(form = ~ order | Mare), control = tight),
  ovary_gaps_gls_ar1_ml = gls(wave, gaps, corAR1(form = ~ order | Mare), method = "ML", control = tight_gls),
  ovary_lme_power_reml = lme(wave, ovary, ~ 1 | Mare, weights = varPower(form = ~ fitted(.)), control = tight),
  ovary_lme_power_ar1_reml = lme(wave, ovary, ~ 1 | Mare, corAR1(form = ~ order | Mare),
                                 weights = varPower(form = ~ fitted(.)), control = tight),
  ovary_gls_power_reml = gls(wave, ovary, weights = varPower(form = ~ fitted(.)), control = tight_gls),
  ortho_lme_ident_ml = lme(growth, ortho, ~ 1 | Subject, weights = varIdent(form = ~ 1 | Sex), method = "ML",
                           control = tight),
  ortho_lme_slope_ident_reml = lme(growth, ortho, ~ age | Subject, weights = varIdent(form = ~ 1 | Sex),
                                   control = tight),
  ortho_lme_ident_ar1_reml = lme(growth, ortho, ~ 1 | Subject, corAR1(form = ~ visit | Subject),
                                 weights = varIdent(form = ~ 1 | Sex), control = tight),
  ortho_gls_ident_ar1_ml = gls(growth, ortho, corAR1(form = ~ visit | Subject), weights = varIdent(form = ~ 1 | Sex),
                               method = "ML", control = tight_gls),
  ortho_gls_ident_reml = gls(growth, ortho, weights = varIdent(form = ~ 1 | age), control = tight_gls),
  ortho_lme_weights_ident_reml = lme(growth, ortho, ~ 1 | Subject,
    weights = varComb(varFixed(~ 1 / w), varIdent(form = ~ 1 | Sex)), control = tight))
# A power of the fitted value is a fixed point: v <- fitted, power <- argmax of the likelihood at that v. nlme stops
# early, so the fixed point is polished here, the power as the root of the likelihood's slope (central differences).
polish <- function(start, refit) {
  power <- as.numeric(coef(start$modelStruct$varStruct)); v <- fitted(start)
  for (round in 1:200) {
    value <- function(d) as.numeric(logLik(refit(v, d)))
    slope <- function(d, h = 0.02) (8 * (value(d + h) - value(d - h)) - (value(d + 2 * h) - value(d - 2 * h))) / (12 * h)
    better <- uniroot(slope, power + c(-0.2, 0.2), tol = 1e-10)$root
    v <- fitted(refit(v, better))
    if (abs(better - power) < 1e-9) break
    power <- better
  }
  fit <- refit(v, better); out <- describe(fit); out$parameters <- list(power = better); out$aic <- out$aic + 2
  out
}
out <- lapply(fits, describe)
out$ovary_lme_power_reml <- polish(fits$ovary_lme_power_reml, function(v, d) {
  lme(wave, transform(ovary, v = v), ~ 1 | Mare, weights = varPower(form = ~ v, fixed = d), control = tight)
})
out$ovary_gls_power_reml <- polish(fits$ovary_gls_power_reml, function(v, d) {
  gls(wave, transform(ovary, v = v), weights = varPower(form = ~ v, fixed = d), control = tight_gls)
})
out$madeBy <- paste0(R.version$version.string, "; nlme ", packageVersion("nlme"))
write(toJSON(out, auto_unbox = TRUE, digits = 15, pretty = TRUE), "residual_expected.json")
