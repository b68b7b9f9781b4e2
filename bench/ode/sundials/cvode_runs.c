/* Times SUNDIALS CVODE (BDF and Adams) on the reference cures, for compare.sh.
   Cases come on standard input, one a line: name S/V h Ta T0 end gel peak peak-time,
   after one line of constants: A1 E1 A2 E2 m n H cp rho alpha_gel. */
#include <cvode/cvode.h>
#include <math.h>
#include <nvector/nvector_serial.h>
#include <stdio.h>
#include <stdlib.h>
#include <sunlinsol/sunlinsol_dense.h>
#include <sunmatrix/sunmatrix_dense.h>
#include <sunnonlinsol/sunnonlinsol_fixedpoint.h>
#include <time.h>

static double A1, E1, A2, E2, M, N, H, CP, RHO, GEL;
static double loss, ta;

static void rates(double a, double T, double *da, double *dT) {
  const double rt = 8.314462618 * T;
  a = fmin(fmax(a, 0), 1);
  *da = (A1 * exp(-E1 / rt) + A2 * exp(-E2 / rt) * pow(a, M)) * pow(1 - a, N);
  *dT = H / CP * *da - loss * (T - ta);
}

static int f(realtype t, N_Vector y, N_Vector d, void *user) {
  realtype *v = N_VGetArrayPointer(y), *w = N_VGetArrayPointer(d);
  (void)t, (void)user;
  rates(v[0], v[1], &w[0], &w[1]);
  return 0;
}

static int g(realtype t, N_Vector y, realtype *out, void *user) {
  realtype *v = N_VGetArrayPointer(y);
  double da, dT;
  (void)t, (void)user;
  rates(v[0], v[1], &da, &dT);
  out[0] = v[0] - GEL;
  out[1] = dT;
  return 0;
}

static int by_value(const void *a, const void *b) {
  double d = *(const double *)a - *(const double *)b;
  return (d > 0) - (d < 0);
}

static void solve(SUNContext ctx, int lmm, double tol, double T0, double end, double *gel, double *peak, double *at) {
  N_Vector y = N_VNew_Serial(2, ctx), atol = N_VNew_Serial(2, ctx);
  realtype *v = N_VGetArrayPointer(y), *w = N_VGetArrayPointer(atol), t = 0;
  SUNMatrix a = NULL;
  SUNLinearSolver ls = NULL;
  SUNNonlinearSolver nls = NULL;
  int direction[2] = {1, -1}, found[2];
  void *mem = CVodeCreate(lmm, ctx);
  v[0] = 0, v[1] = T0, w[0] = tol * 1e-3, w[1] = tol;
  CVodeInit(mem, f, 0, y);
  CVodeSVtolerances(mem, tol, atol);
  CVodeRootInit(mem, 2, g);
  CVodeSetRootDirection(mem, direction);
  CVodeSetMaxNumSteps(mem, 100000);
  if (lmm == CV_BDF) {
    a = SUNDenseMatrix(2, 2, ctx);
    ls = SUNLinSol_Dense(y, a, ctx);
    CVodeSetLinearSolver(mem, ls, a);
  } else {
    nls = SUNNonlinSol_FixedPoint(y, 0, ctx);
    CVodeSetNonlinearSolver(mem, nls);
  }
  *gel = *peak = *at = 0;
  while (t < end) {
    int flag = CVode(mem, end, y, &t, CV_NORMAL);
    if (flag < 0) { fprintf(stderr, "CVODE gave up: %d\n", flag); exit(1); }
    if (flag == CV_ROOT_RETURN) {
      CVodeGetRootInfo(mem, found);
      if (found[0]) *gel = t;
      if (found[1] && v[1] > *peak) *peak = v[1], *at = t;
    }
  }
  CVodeFree(&mem);
  if (ls) SUNLinSolFree(ls);
  if (a) SUNMatDestroy(a);
  if (nls) SUNNonlinSolFree(nls);
  N_VDestroy(y);
  N_VDestroy(atol);
}

int main(void) {
  enum { repeats = 51 };
  struct { char name[64]; double sv, h, ta, T0, end, gel, peak, at; } c[32];
  int n = 0;
  SUNContext ctx;
  if (SUNContext_Create(NULL, &ctx)) return 1;
  if (scanf("%lf %lf %lf %lf %lf %lf %lf %lf %lf %lf", &A1, &E1, &A2, &E2, &M, &N, &H, &CP, &RHO, &GEL) != 10) return 1;
  while (n < 32 && scanf("%63s %lf %lf %lf %lf %lf %lf %lf %lf", c[n].name, &c[n].sv, &c[n].h, &c[n].ta, &c[n].T0, &c[n].end, &c[n].gel, &c[n].peak, &c[n].at) == 9) n++;
  for (int lmm = CV_ADAMS; lmm <= CV_BDF; lmm++)
    for (int k = 0; k < 2; k++) {
      double tol = k ? 1e-9 : 1e-6;
      for (int i = 0; i < n; i++) {
        double us[repeats], gel, peak, at;
        loss = c[i].h * c[i].sv / (RHO * CP), ta = c[i].ta;
        for (int r = 0; r < repeats; r++) {
          struct timespec from, to;
          clock_gettime(CLOCK_MONOTONIC, &from);
          solve(ctx, lmm, tol, c[i].T0, c[i].end, &gel, &peak, &at);
          clock_gettime(CLOCK_MONOTONIC, &to);
          us[r] = 1e6 * (to.tv_sec - from.tv_sec) + 1e-3 * (to.tv_nsec - from.tv_nsec);
        }
        qsort(us, repeats, sizeof us[0], by_value);
        double worst = fmax(fabs(gel / c[i].gel - 1), fmax(fabs(peak / c[i].peak - 1), fabs(at / c[i].at - 1)));
        printf("sundials-%s %g %s %.1f %.1e\n", lmm == CV_BDF ? "BDF" : "Adams", tol, c[i].name, us[repeats / 2], worst);
      }
    }
  SUNContext_Free(&ctx);
  return 0;
}
