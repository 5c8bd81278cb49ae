using System.Numerics;
using XoverOpt.Acoustics.Tests;

namespace XoverOpt.Search.Tests;

/// <summary>
/// One set of the NIST Statistical Reference Datasets (tests/data/nist-strd) from one of its published starts, on the unit cube. Parameters
/// run on a log scale, as network parts do in the search, over a box three times as wide as the way from start to certified value (at least
/// a factor of e), so that the answer lies inside. Derivatives are by a complex step (W. Squire and G. Trapp, SIAM Review 40 (1998)).
/// </summary>
internal sealed class NistProblem
{
    private readonly string _set;
    private readonly ReferenceTable.Row[] _certified;
    private readonly (double X, double Y)[] _data;
    private readonly double[] _low;
    private readonly double[] _span;
    private readonly double[] _sign;

    public NistProblem(string set, string start)
    {
        _set = set;
        _certified = [.. ReferenceTable.Read("nist-strd", "nist_strd_certified.csv").Rows.Where(row => row.Text("dataset") == set)];
        _data = [.. ReferenceTable.Read("nist-strd", "nist_strd_data.csv").Rows
            .Where(row => row.Text("dataset") == set)
            .Select(row => (row.Number("x"), row.Number("y")))];
        Assert.Equal((int)_certified[0].Number("n_obs"), _data.Length);

        int n = _certified.Length;
        (_low, _span, _sign, Start) = (new double[n], new double[n], new double[n], new double[n]);
        for (int i = 0; i < n; i++)
        {
            double to = _certified[i].Number("certified");
            _sign[i] = Math.Sign(to);
            double from = Math.Log(_sign[i] * _certified[i].Number(start)), end = Math.Log(_sign[i] * to);
            _span[i] = Math.Max(3 * Math.Abs(from - end), 1);
            _low[i] = ((from + end) / 2) - (_span[i] / 2);
            Start[i] = (from - _low[i]) / _span[i];
        }
    }

    /// <summary>The published start on the unit cube.</summary>
    public double[] Start { get; }

    /// <summary>The sum of squares.</summary>
    public double Cost(double[] at)
    {
        Complex[] b = Parameters(at);
        double sum = 0;
        foreach ((double x, double y) in _data)
        {
            double residual = NistModels.Value(_set, b, x).Real - y;
            sum += residual * residual;
        }

        return sum;
    }

    /// <summary>The sum of squares and its equations.</summary>
    public double Equations(ReadOnlySpan<double> at, NormalEquations equations)
    {
        Complex[] b = Parameters(at);
        equations.Reset(b.Length);
        double sum = 0;
        double[] row = new double[b.Length];
        foreach ((double x, double y) in _data)
        {
            double residual = NistModels.Value(_set, b, x).Real - y;
            for (int i = 0; i < b.Length; i++)
            {
                Complex was = b[i];
                double h = 1e-30 * was.Real;
                b[i] = new(was.Real, h);
                row[i] = NistModels.Value(_set, b, x).Imaginary / 1e-30 * _span[i];
                b[i] = was;
            }

            equations.Add(residual, row);
            sum += residual * residual;
        }

        return double.IsNaN(sum) ? double.PositiveInfinity : sum;
    }

    /// <summary>How far parameters and sum of squares are off, largest relative difference of each.</summary>
    public (double Parameters, double Sum) Error(double[] at, double cost) => (
        Parameters(at).Zip(_certified, (b, row) => Math.Abs((b.Real / row.Number("certified")) - 1)).Max(),
        Math.Abs((cost / _certified[0].Number("certified_RSS")) - 1));

    private Complex[] Parameters(ReadOnlySpan<double> at)
    {
        Complex[] b = new Complex[at.Length];
        for (int i = 0; i < b.Length; i++)
        {
            b[i] = _sign[i] * Math.Exp(_low[i] + (_span[i] * at[i]));
        }

        return b;
    }
}
