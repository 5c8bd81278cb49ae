namespace XoverOpt.Search.Tests;

/// <summary>
/// Usual test functions, smallest cost 0. Definitions as in N. Hansen et al., "Real-parameter black-box optimization benchmarking 2009:
/// noiseless functions definitions" (from memory, without its shifts and turns); Ackley after D. H. Ackley 1987 (from memory).
/// </summary>
internal static class TestFunctions
{
    public static double Value(string function, double[] x) => function switch
    {
        "sphere" => x.Sum(v => v * v),
        "ellipsoid1e6" => Enumerable.Range(0, x.Length).Sum(i => Math.Pow(1e6, i / (x.Length - 1.0)) * x[i] * x[i]),
        "rosenbrock" => Pairs(x).Sum(p => (100 * Square(p.B - (p.A * p.A))) + Square(1 - p.A)),
        "rastrigin" => x.Sum(v => 10 + (v * v) - (10 * Math.Cos(2 * Math.PI * v))),
        "schaffersF7" => Square(Pairs(x).Average(p =>
        {
            double s = Math.Sqrt((p.A * p.A) + (p.B * p.B));
            return Math.Sqrt(s) * (1 + Square(Math.Sin(50 * Math.Pow(s, 0.2))));
        })),
        "ackley" => 20 - (20 * Math.Exp(-0.2 * Math.Sqrt(x.Average(v => v * v)))) + Math.E - Math.Exp(x.Average(v => Math.Cos(2 * Math.PI * v))),
        _ => throw new ArgumentException(function, nameof(function)),
    };

    /// <summary>The function with −half … half in place of the unit interval.</summary>
    public static Func<double[], double> InBox(string function, double half) =>
        point => Value(function, [.. point.Select(u => ((2 * u) - 1) * half)]);

    private static double Square(double value) => value * value;

    private static IEnumerable<(double A, double B)> Pairs(double[] x) => x.Zip(x.Skip(1));
}
