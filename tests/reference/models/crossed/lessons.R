# Simulates lessons.csv (golfers of whom some changed instructor, on several courses) and writes what lme4, lmerTest and
# pbkrtest make of it to lessons.json. Run in this folder: Rscript lessons.R
suppressMessages({library(lmerTest); library(jsonlite)})
set.seed(20261125)
golfers <- sprintf("G%02d", 1:45)
instructors <- paste0("I", 1:9)
courses <- paste0("C", 1:6)
rows <- do.call(rbind, lapply(seq_along(golfers), function(g) {
  own <- sample(instructors, if (g %% 3 == 0) 2 else 1)
  n <- sample(6:14, 1)
  data.frame(golfer = golfers[g], instructor = sample(own, n, TRUE), course = sample(courses, n, TRUE))
}))
n <- nrow(rows)
rows$hours <- round(rnorm(n), 3)
rows$phase <- ifelse(runif(n) < 0.5, "baseline", "post")
slopes <- function(levels, sd, r) {
  z <- matrix(rnorm(2 * length(levels)), ncol = 2)
  u <- cbind(sd[1] * z[, 1], sd[2] * (r * z[, 1] + sqrt(1 - r^2) * z[, 2]))
  rownames(u) <- levels
  u
}
ug <- slopes(golfers, c(2, 0.8), 0.4)
ui <- slopes(instructors, c(1.2, 0.6), -0.3)
uc <- setNames(rnorm(length(courses), 0, 0.9), courses)
rows$lean <- round(4 + 0.5 * rows$hours + 0.7 * (rows$phase == "post") +
  ug[rows$golfer, 1] + ug[rows$golfer, 2] * rows$hours +
  ui[rows$instructor, 1] + ui[rows$instructor, 2] * rows$hours + uc[rows$course] + rnorm(n, 0, 1.5), 4)
write.csv(rows, "lessons.csv", row.names = FALSE, quote = FALSE)

formula <- lean ~ hours + phase + (1 + hours | golfer) + (1 + hours | instructor) + (1 | course)
rough <- lmer(formula, rows, REML = TRUE)
deviance_at <- update(rough, devFunOnly = TRUE)
theta <- getME(rough, "theta")
# Newton steps on central differences until they stop moving.
differences <- function(f, x, h) {
  k <- length(x)
  e <- diag(h, k)
  g <- sapply(1:k, function(i) (8 * (f(x + e[i, ]) - f(x - e[i, ])) - (f(x + 2 * e[i, ]) - f(x - 2 * e[i, ]))) / (12 * h))
  H <- matrix(0, k, k)
  for (i in 1:k) for (j in 1:k)
    H[i, j] <- (f(x + e[i, ] + e[j, ]) - f(x + e[i, ] - e[j, ]) - f(x - e[i, ] + e[j, ]) + f(x - e[i, ] - e[j, ])) / (4 * h^2)
  list(g = g, H = H)
}
for (i in 1:8) {
  d <- differences(deviance_at, theta, 1e-3)
  step <- -solve(d$H, d$g)
  theta <- theta + step
}
fit <- lmer(formula, rows, REML = TRUE, start = theta, control = lmerControl(optimizer = NULL, calc.derivs = TRUE))
ours <- function(x) sub("\\(Intercept\\)", "intercept", sub("phasepost", "phase=post", x))
table_of <- function(ddf) {
  s <- coef(summary(fit, ddf = ddf))
  lapply(seq_len(nrow(s)), function(i)
    list(term = ours(rownames(s)[i]), estimate = s[i, 1], standardError = s[i, 2], degreesOfFreedom = s[i, 3]))
}
vc <- VarCorr(fit)
modes <- ranef(fit, condVar = TRUE)
out <- list(
  data = "lessons.csv",
  lastStep = max(abs(step)),
  fixed = table_of("Satterthwaite"),
  kenwardRoger = table_of("Kenward-Roger"),
  residualSd = sigma(fit),
  random = lapply(names(vc), function(g) list(
    group = g, effects = ours(names(attr(vc[[g]], "stddev"))), sd = unname(attr(vc[[g]], "stddev")),
    correlation = unname(attr(vc[[g]], "correlation")))),
  logLikelihood = as.numeric(logLik(fit)),
  modes = lapply(names(modes), function(g) {
    v <- attr(modes[[g]], "postVar")
    list(group = g, levels = rownames(modes[[g]]), values = unname(as.matrix(modes[[g]])),
         variances = t(apply(v, 3, function(m) diag(as.matrix(m)))))
  }),
  madeBy = sprintf("R %s: lme4 %s, lmerTest %s, pbkrtest %s", getRversion(), packageVersion("lme4"),
                   packageVersion("lmerTest"), packageVersion("pbkrtest")))
write(toJSON(out, auto_unbox = TRUE, digits = 15, pretty = TRUE), "lessons.json")
cat("last step", out$lastStep, "gradient", max(abs(d$g)), "\n")
print(vc)
