# Makes the JSON files named below (and the CSV files of their data) with R 4.2.2, lme4 1.1-31, ordinal 2022.11-16,
# MASS 7.3-58.2, numDeriv 2016.8-1.1, jsonlite 1.8.4:  Rscript generalised.R
# Mixed fits: the package's own optimum polished by Newton steps on its deviance function (penalised least squares run
# to 1e-13) with Richardson derivatives; standard errors from the Richardson Hessian over all parameters.
suppressMessages({library(lme4); library(ordinal); library(MASS); library(numDeriv); library(jsonlite)})
madeBy <- paste0("R ", getRversion(), ": lme4 ", packageVersion("lme4"), ", ordinal ", packageVersion("ordinal"),
                 ", MASS ", packageVersion("MASS"), ", numDeriv ", packageVersion("numDeriv"), " (generalised.R)")
write <- function(name, data, model, expected)
  writeLines(toJSON(list(data = unbox(data), model = model, expected = expected, madeBy = unbox(madeBy)),
                    digits = I(15), pretty = TRUE, auto_unbox = TRUE, null = "null"), paste0(name, ".json"))
terms_of <- function(names, est, se)
  lapply(seq_along(names), function(i) list(term = names[i], estimate = est[[i]], standardError = se[[i]]))
intercept <- function(group) list(group = group, effects = list("intercept"))
factor_term <- function(column, levels) list(column = column, levels = as.list(levels))

# A mixed binomial or Poisson fit polished; `sds` turns theta into the SDs wanted.
polished <- function(formula, data, family, weights = NULL) {
  args <- list(formula, data = data, family = family,
               control = glmerControl(tolPwrss = 1e-13, optimizer = "nloptwrap",
                                      optCtrl = list(xtol_abs = 1e-10, ftol_abs = 1e-12, maxeval = 20000), calc.derivs = FALSE))
  fit <- do.call(glmer, args)
  dev <- update(fit, devFunOnly = TRUE)
  at <- c(getME(fit, "theta"), fixef(fit))
  for (i in 1:3) {
    g <- grad(dev, at); h <- hessian(dev, at)
    at <- at - solve(h, g)
  }
  cat(deparse(formula)[1], "newton step left", max(abs(solve(h, grad(dev, at)))), "\n")
  h <- hessian(dev, at)
  k <- length(getME(fit, "theta"))
  list(fit = fit, theta = at[1:k], beta = at[-(1:k)], se = sqrt(diag(solve(h / 2)))[-(1:k)], logLik = -dev(at) / 2)
}

# --- verbal aggression, crossed: high-precision standard errors (data and fit in verbagg_crossed_laplace.json)
shared <- "../../../../../shared/reference/models/verbagg.csv"
if (file.exists(shared)) {
  v <- read.csv(shared, stringsAsFactors = TRUE); v$id <- factor(v$id)
  p <- polished(yes ~ Anger + Gender + btype + situ + (1 | id) + (1 | item), v, binomial)
  write("verbagg-standard-errors", "verbagg.csv", list(), list(
    fixed = terms_of(c("intercept", "Anger", "Gender=M", "btype=scold", "btype=shout", "situ=self"), p$beta, p$se),
    logLikelihood = p$logLik, theta = p$theta))
}

# --- red grouse chicks' ticks (Elston et al. 2001): three nested groups, the finest of one row each
ticks <- transform(grouseticks, height = (HEIGHT - 460) / 10)[, c("TICKS", "YEAR", "height", "LOCATION", "BROOD", "INDEX")]
names(ticks) <- c("ticks", "year", "height", "location", "brood", "chick")
write.csv(ticks, "ticks.csv", row.names = FALSE, quote = FALSE)
p <- polished(ticks ~ year + height + (1 | brood) + (1 | chick) + (1 | location), ticks, poisson)
nm <- names(getME(p$fit, "theta")); sd <- setNames(as.list(abs(p$theta)), sub("\\..*", "", nm))
write("ticks_nested_laplace", "ticks.csv",
  list(outcome = "ticks", distribution = "count",
       fixed = list("intercept", factor_term("year", c("95", "96", "97")), list(column = "height")),
       random = list(intercept("location"), intercept("brood"), intercept("chick"))),
  list(fixed = terms_of(c("intercept", "year=96", "year=97", "height"), p$beta, p$se), logLikelihood = p$logLik,
       randomSd = lapply(sd, function(s) list(list("intercept", s)))))

# --- seizures (Thall and Vail 1990): correlated slope of visit; offset none
e <- transform(epil, visit = (period - 2.5) / 2, logBase = log(base / 4))[, c("y", "trt", "logBase", "visit", "subject")]
names(e) <- c("seizures", "treatment", "log_base", "visit", "subject")
write.csv(e, "seizures.csv", row.names = FALSE, quote = FALSE)
p <- polished(seizures ~ treatment * log_base + visit + (1 + visit | subject), e, poisson)
L <- matrix(c(p$theta[1], p$theta[2], 0, p$theta[3]), 2); S <- L %*% t(L)
write("seizures_slope_laplace", "seizures.csv",
  list(outcome = "seizures", distribution = "count",
       fixed = list("intercept", factor_term("treatment", c("placebo", "progabide")), list(column = "log_base"),
                    list(column = "visit"), list(product = list("treatment", "log_base"))),
       random = list(list(group = "subject", effects = list("intercept", "visit")))),
  list(fixed = terms_of(c("intercept", "treatment=progabide", "log_base", "visit", "treatment=progabide x log_base"), p$beta, p$se),
       logLikelihood = p$logLik,
       randomSd = list(subject = list(list("intercept", sqrt(S[1, 1])), list("visit", sqrt(S[2, 2])))),
       randomCorrelation = list(list("subject", "intercept", "visit", S[1, 2] / sqrt(S[1, 1] * S[2, 2])))))

# --- herds (Lesnoff et al. 2004): conditional modes and SDs, and the fit without random terms
cbpp$rate <- cbpp$incidence / cbpp$size
m <- glmer(rate ~ period + (1 | herd), cbpp, binomial, weights = size, control = glmerControl(tolPwrss = 1e-13,
           optimizer = "nloptwrap", optCtrl = list(xtol_abs = 1e-12, ftol_abs = 1e-14, maxeval = 20000)))
r <- as.data.frame(ranef(m, condVar = TRUE))
g <- glm(cbind(incidence, size - incidence) ~ period, binomial, cbpp, epsilon = 1e-15, maxit = 100)
names4 <- c("intercept", "period=2", "period=3", "period=4")
herd_fixed <- list("intercept", factor_term("period", as.character(1:4)))
write("cbpp_modes", "cbpp.csv", list(), list(level = as.character(r$grp), values = r$condval, sd = r$condsd))
write("cbpp_plain", "cbpp.csv",
  list(outcome = "incidence", distribution = "binary", trials = "size", fixed = herd_fixed),
  list(fixed = terms_of(names4, coef(g), sqrt(diag(vcov(g)))), logLikelihood = as.numeric(logLik(g)), aic = AIC(g), bic = BIC(g)))

# --- seizures without random terms, with an offset
g <- glm(seizures ~ treatment + visit + offset(log_base), poisson, e, epsilon = 1e-15, maxit = 100)
write("seizures_plain_offset", "seizures.csv",
  list(outcome = "seizures", distribution = "count", offset = "log_base",
       fixed = list("intercept", factor_term("treatment", c("placebo", "progabide")), list(column = "visit"))),
  list(fixed = terms_of(c("intercept", "treatment=progabide", "visit"), coef(g), sqrt(diag(vcov(g)))),
       logLikelihood = as.numeric(logLik(g)), aic = AIC(g), bic = BIC(g),
       pearson = sum(residuals(g, "pearson")^2) / df.residual(g)))

# --- bitterness of wine (Randall 1989) without random terms; with judges and bottles crossed
g <- clm(rating ~ temp + contact, data = wine, control = clm.control(gradTol = 1e-12))
wine_fixed <- list(factor_term("temp", c("cold", "warm")), factor_term("contact", c("no", "yes")))
threshold_list <- function(fit, k) lapply(1:k, function(i) list(between = names(coef(fit))[i], estimate = coef(fit)[[i]],
                                                            standardError = sqrt(vcov(fit)[i, i])))
write("wine_plain", "wine.csv", list(outcome = "rating", distribution = "ordinal", fixed = wine_fixed),
  list(fixed = terms_of(c("temp=warm", "contact=yes"), coef(g)[5:6], sqrt(diag(vcov(g)))[5:6]),
       thresholds = threshold_list(g, 4), logLikelihood = as.numeric(logLik(g)), aic = AIC(g), bic = BIC(g)))
m <- clmm(rating ~ temp + contact + (1 | judge) + (1 | bottle), data = wine, control = clmm.control(gradTol = 1e-8))
one <- clmm(rating ~ temp + contact + (1 | judge), data = wine, control = clmm.control(gradTol = 1e-8))
write("wine_two_factors", "wine.csv", list(outcome = "rating", distribution = "ordinal", fixed = wine_fixed,
       random = list(intercept("judge"), intercept("bottle"))),
  list(logLikelihood = as.numeric(logLik(m)), sd = list(judge = sqrt(VarCorr(m)$judge[1]), bottle = sqrt(VarCorr(m)$bottle[1])),
       modes = list(level = as.character(1:9), values = one$ranef, sd = sqrt(one$condVar))))

# --- satisfaction with housing (Madsen 1976): proportional odds without random terms, 1,681 rows
h <- housing[rep(seq_len(nrow(housing)), housing$Freq), c("Sat", "Infl", "Type", "Cont")]
h$Sat <- as.integer(h$Sat); names(h) <- c("satisfaction", "influence", "type", "contact")
write.csv(h, "housing.csv", row.names = FALSE, quote = FALSE)
g <- clm(ordered(satisfaction) ~ influence + type + contact, data = h, control = clm.control(gradTol = 1e-12))
q <- polr(ordered(satisfaction) ~ influence + type + contact, h, Hess = TRUE)
cat("polr and clm differ by", max(abs(coef(q) - coef(g)[-(1:2)])), "\n")
write("housing_plain", "housing.csv", list(outcome = "satisfaction", distribution = "ordinal",
   fixed = list(factor_term("influence", c("Low", "Medium", "High")),
                factor_term("type", c("Tower", "Apartment", "Atrium", "Terrace")), factor_term("contact", c("Low", "High")))),
  list(fixed = terms_of(c("influence=Medium", "influence=High", "type=Apartment", "type=Atrium", "type=Terrace", "contact=High"),
                        coef(g)[-(1:2)], sqrt(diag(vcov(g)))[-(1:2)]),
       thresholds = threshold_list(g, 2), logLikelihood = as.numeric(logLik(g)), aic = AIC(g), bic = BIC(g)))
