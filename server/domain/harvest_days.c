/* See harvest_days.h. */
#include "domain/harvest_days.h"

#include <math.h>

#include "domain/learn.h"
#include "domain/normal.h"

int harvest_days_order(const void *a, const void *b)
{
	const struct lot_days *x = a, *y = b;

	if (x->month != y->month)
		return x->month < y->month ? -1 : 1;
	return (x->days > y->days) - (x->days < y->days);
}

static void swap(double *a, double *b)
{
	const double t = *a;

	*a = *b;
	*b = t;
}

/* The k-th smallest (from 0) of n values, which change places: what is smaller stands before it,
 * the rest behind. */
static double pick(double *values, size_t n, size_t k)
{
	size_t first = 0, last = n - 1;

	while (first < last) {
		const double pivot = values[first + (last - first) / 2];
		size_t i = first, j = last;

		for (;;) {
			while (values[i] < pivot)
				i++;
			while (values[j] > pivot)
				j--;
			if (i >= j)
				break;
			swap(&values[i++], &values[j--]);
		}
		if (k <= j)
			last = j;
		else
			first = j + 1;
	}
	return values[k];
}

/* NAN of none.  Reports ask this of ten years of lots many times over: nothing is sorted that need
 * not be. */
static double median_of(double *values, size_t n)
{
	if (!n)
		return NAN;
	const double upper = pick(values, n, n / 2);

	return n % 2 ? upper : 0.5 * (pick(values, n, n / 2 - 1) + upper);
}

/*
 * Spread of deviations (>= 0, n of them, around `centres` medians), in which the assumed spread
 * counts as some lots.  A deviation beyond three times the usual counts as three times: it is a
 * slip, or nothing to plan by.
 */
static double spread_of(double *deviations, size_t n, size_t centres, double assumed)
{
	const double usual = 1.4826 * median_of(deviations, n); /* of a normal: its deviation */
	const double most = 3.0 * (usual > assumed ? usual : assumed);
	double squares = 0.0;

	if (n <= centres)
		return assumed;
	for (size_t i = 0; i < n; i++) {
		const double d = deviations[i] < most ? deviations[i] : most;
		squares += d * d;
	}
	return sqrt((HARVEST_DAYS_SPREAD_LOTS * assumed * assumed + squares) /
		    (HARVEST_DAYS_SPREAD_LOTS + (double)(n - centres)));
}

/* The end of the lots of one month that begin at i; lots are by month. */
static size_t month_end(const struct lot_days *lots, size_t n, size_t i)
{
	size_t end = i;

	while (end < n && lots[end].month == lots[i].month)
		end++;
	return end;
}

static double month_median(const struct lot_days *lots, size_t n)
{
	return 0.5 * (lots[(n - 1) / 2].days + lots[n / 2].days);
}

/* Deviations of each lot from the median of its month: of this month alone, or of the others.
 * *centres: months. */
static size_t deviations(const struct lot_days *lots, size_t n, int month, bool others, double *out,
			 size_t *centres)
{
	size_t found = 0;

	*centres = 0;
	for (size_t i = 0, end; i < n; i = end) {
		end = month_end(lots, n, i);
		if ((lots[i].month != month) != others)
			continue;
		const double m = month_median(lots + i, end - i);
		for (size_t j = i; j < end; j++)
			out[found++] = fabs(lots[j].days - m);
		(*centres)++;
	}
	return found;
}

/* Days of the lots sown in other months. */
static size_t other_days(const struct lot_days *lots, size_t n, int month, double *out)
{
	size_t found = 0;

	for (size_t i = 0; i < n; i++)
		if (lots[i].month != month)
			out[found++] = lots[i].days;
	return found;
}

static void learn(struct learning *l, double handbook, double spread, double median, size_t n)
{
	learn_begin(l, handbook, spread);
	for (size_t i = 0; i < n; i++)
		learn_add(l, median, 0.0);
}

/* Of the lots sown in other months: their spread with the seasons in it, and in *within that of one
 * month. */
static double other_spread(const struct lot_days *lots, size_t n, int month, double assumed,
			   double *scratch, double *within)
{
	size_t centres, found = deviations(lots, n, month, true, scratch, &centres);

	*within = spread_of(scratch, found, centres, assumed);
	found = other_days(lots, n, month, scratch);
	const double median = median_of(scratch, found);
	for (size_t i = 0; i < found; i++)
		scratch[i] = fabs(scratch[i] - median);
	return spread_of(scratch, found, 1, assumed);
}

static double assumed_spread(double days)
{
	const double spread = HARVEST_DAYS_SPREAD * days;

	return spread > 1.0 ? spread : 1.0; /* a day is as exact as it is written down */
}

void harvest_days_learn(const struct lot_days *lots, size_t n, int month, double planned,
			double *scratch, struct days_learned *out)
{
	struct learning l;
	double within;
	size_t centres;

	const size_t others = other_days(lots, n, month, scratch);
	const double median_others = median_of(scratch, others);
	size_t first = 0;
	while (first < n && lots[first].month != month)
		first++;
	const size_t of_month = n - others;
	*out = (struct days_learned){ .lots = n, .of_month = of_month, .median = NAN };
	if (of_month)
		out->median = month_median(lots + first, of_month);
	const double rough = !isnan(planned) ? planned : others ? median_others : out->median;
	const double assumed = assumed_spread(rough);

	out->spread = other_spread(lots, n, month, assumed, scratch, &within);
	learn(&l, planned, out->spread, median_others, others);
	if (of_month) {
		const size_t found = deviations(lots, n, month, false, scratch, &centres);
		out->spread = spread_of(scratch, found, centres, within);
		learn(&l, learn_value(&l), out->spread, out->median, of_month);
	}
	out->days = learn_value(&l);
	if (isnan(out->days))
		out->spread = NAN;
	const double reach = Z95 * learn_next_se(&l);
	out->low = out->days - reach > 0.0 ? out->days - reach : isnan(out->days) ? NAN : 0.0;
	out->high = out->days + reach;
}
