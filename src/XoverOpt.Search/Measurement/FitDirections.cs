namespace XoverOpt.Search;

/// <summary>The directions of a fit in relative changes of its free parameters, and how well the measurements tell each.</summary>
internal sealed class FitDirections
{
    private const double Boundless = 2.302585092994046;
    private const double Part = 0.02;
    private readonly int[] _free;
    private readonly int _count;
    private readonly double[] _vectors;
    private readonly double[] _errors;
    private readonly double[] _alone;

    /// <param name="equations">JᵀJ in units of the noise, parameters in [0, 1].</param>
    /// <param name="free">Numbers of the free parameters.</param>
    /// <param name="variance">Variance of the residuals in units of their noise.</param>
    public FitDirections(NormalEquations equations, int[] free, double variance)
    {
        int n = _count = free.Length;
        _free = free;
        double[] matrix = new double[n * n], values = new double[n];
        for (int i = 0; i < n; i++)
        {
            for (int j = 0; j < n; j++)
            {
                matrix[(i * n) + j] = equations.Matrix[(Math.Max(i, j) * n) + Math.Min(i, j)]
                    / ReceiverParameter.All[free[i]].LogRange / ReceiverParameter.All[free[j]].LogRange;
            }
        }

        _alone = [.. Enumerable.Range(0, n).Select(i => Math.Sqrt(variance / matrix[(i * n) + i]))];
        _vectors = new double[n * n];
        SymmetricEigen.Decompose(matrix, _vectors, values);
        _errors = [.. values.Select(value => value > 0 ? Math.Sqrt(variance / value) : double.PositiveInfinity)];
    }

    /// <summary>Whether a parameter could be moved tenfold by itself without being noticed.</summary>
    public bool HasNoInfluence(int i) => !(_alone[i] <= Boundless);

    /// <summary>One standard deviation of a parameter, relative; infinite if a direction that is not told moves it.</summary>
    public double Error(int i) => Error([.. Enumerable.Range(0, _count).Select(k => k == i ? 1.0 : 0)]);

    /// <summary>One standard deviation, relative, of what changes with the free parameters by <paramref name="gradient"/> (∂ ln/∂ ln).</summary>
    public double Error(double[] gradient)
    {
        double sum = 0, size = Math.Sqrt(gradient.Sum(g => g * g));
        for (int d = 0; d < _count; d++)
        {
            double along = 0;
            for (int i = 0; i < _count; i++)
            {
                along += gradient[i] * _vectors[(d * _count) + i];
            }

            if (_errors[d] > Boundless && Math.Abs(along) > Part * size)
            {
                return double.PositiveInfinity;
            }

            sum += _errors[d] > Boundless ? 0 : along * along * _errors[d] * _errors[d];
        }

        return Math.Sqrt(sum);
    }

    /// <summary>What cannot be told apart, in words: first what moves without limit, then the loosest of the rest.</summary>
    public IEnumerable<string> Words()
    {
        foreach ((double[] row, int lead) in Reduced().Where(row => !HasNoInfluence(row.Lead)))
        {
            yield return Words(row, lead) + ", and no measured value changes";
        }

        foreach (int d in Enumerable.Range(0, _count).Where(d => _errors[d] is > 0.25 and <= Boundless).OrderByDescending(d => _errors[d]))
        {
            double[] vector = [.. Enumerable.Range(0, _count).Select(i => _vectors[(d * _count) + i])];
            int lead = Enumerable.Range(0, _count).MaxBy(i => Math.Abs(vector[i]));
            double[] unit = [.. vector.Select(v => v / vector[lead])];
            yield return FormattableString.Invariant($"{Words(unit, lead)}, is told to ±{100 * _errors[d] * Math.Abs(vector[lead]):0} % only");
        }
    }

    /// <summary>
    /// A basis of the directions that are not told with as few parameters each as can be: Gauss–Jordan on the eigenvectors, pivots taken where a
    /// user would give a value.
    /// </summary>
    private IEnumerable<(double[] Row, int Lead)> Reduced()
    {
        List<double[]> rows = [.. Enumerable.Range(0, _count).Where(d => _errors[d] > Boundless)
            .Select(d => Enumerable.Range(0, _count).Select(i => _vectors[(d * _count) + i]).ToArray())];
        int[] order =
        [
            ReceiverParameter.DiaphragmArea, ReceiverParameter.RearVolume, ReceiverParameter.Compliance, ReceiverParameter.SpoutBore, ReceiverParameter.SpoutLength,
            ReceiverParameter.FrontVolume, ReceiverParameter.Mass, ReceiverParameter.ForceFactor, ReceiverParameter.Resistance,
            ReceiverParameter.Inductance, ReceiverParameter.SemiInductance, ReceiverParameter.DcResistance,
        ];
        int done = 0;
        List<int> leads = [];
        foreach (int column in order.Select(p => Array.IndexOf(_free, p)).Where(column => column >= 0))
        {
            if (done == rows.Count)
            {
                break;
            }

            int pivot = Enumerable.Range(done, rows.Count - done).MaxBy(r => Math.Abs(rows[r][column]));
            if (Math.Abs(rows[pivot][column]) < Part)
            {
                continue;
            }

            (rows[done], rows[pivot]) = (rows[pivot], rows[done]);
            double lead = rows[done][column];
            rows[done] = [.. rows[done].Select(v => v / lead)];
            for (int r = 0; r < rows.Count; r++)
            {
                double share = rows[r][column];
                if (r != done)
                {
                    rows[r] = [.. rows[r].Zip(rows[done], (v, w) => v - (share * w))];
                }
            }

            leads.Add(column);
            done++;
        }

        return rows.Zip(leads);
    }

    /// <summary>A direction: what the others do while the leading one rises by a tenth.</summary>
    private string Words(double[] unit, int lead)
    {
        IEnumerable<string> others = Enumerable.Range(0, _count).Where(i => i != lead && Math.Abs(unit[i]) > 0.05)
            .Select(i => FormattableString.Invariant($"{ReceiverParameter.All[_free[i]].Name} by {100 * (Math.Pow(1.1, unit[i]) - 1):+0.0;-0.0} %"));
        string along = string.Join(", ", others);
        return $"{ReceiverParameter.All[_free[lead]].Name} up by 10 %{(along.Length == 0 ? "" : " with " + along)}";
    }
}
