using System.Globalization;

namespace XoverOpt.Workshop.Paperwork;

/// <summary>A linear axis that ends on its ticks.</summary>
/// <param name="Low">Its lower end.</param>
/// <param name="High">Its upper end.</param>
/// <param name="Step">Distance of its ticks: 1, 2 or 5 of a power of ten.</param>
internal sealed record PlotScale(double Low, double High, double Step)
{
    private const int MostSteps = 9;

    private static readonly int[] _factors = [1, 2, 5, 10];

    /// <summary>The ticks from low to high.</summary>
    public IEnumerable<double> Ticks => Enumerable.Range(0, (int)Math.Round((High - Low) / Step) + 1).Select(n => Math.Round(Low + (n * Step), 9));

    /// <summary>The axis that takes in two numbers.</summary>
    public static PlotScale Around(double low, double high)
    {
        if (!double.IsFinite(low) || !double.IsFinite(high))
        {
            return new(0, 1, 0.2);
        }

        double span = Math.Max(high - low, Math.Max(Math.Abs(high), 1) * 1e-3), step = Math.Pow(10, Math.Floor(Math.Log10(span / MostSteps)));
        step *= _factors.First(factor => Steps(low, low + span, step * factor) <= MostSteps || factor == 10);
        return new(Math.Floor((low / step) + 1e-9) * step, Math.Ceiling(((low + span) / step) - 1e-9) * step, step);
    }

    /// <summary>The axis that takes in all numbers of some lists, and others.</summary>
    public static PlotScale Around(IEnumerable<IReadOnlyList<double>> lists, params double[] others)
    {
        double[] all = [.. lists.SelectMany(list => list).Concat(others).Where(double.IsFinite)];
        return all.Length == 0 ? new(0, 1, 0.2) : Around(all.Min(), all.Max());
    }

    /// <summary>A tick as text, with a proper minus.</summary>
    public string Text(double tick)
    {
        int digits = Math.Max(0, -(int)Math.Floor(Math.Log10(Step) + 1e-9));
        return Math.Round(tick, digits).ToString("F" + digits.ToString(CultureInfo.InvariantCulture), CultureInfo.InvariantCulture).Replace('-', '−');
    }

    private static double Steps(double low, double high, double step) => Math.Ceiling((high / step) - 1e-9) - Math.Floor((low / step) + 1e-9);
}
