namespace XoverOpt.Search;

/// <summary>
/// The best combinations of listed values under a quadratic model, by depth-first enumeration in order of distance with pruning by the
/// best found so far (C. P. Schnorr and M. Euchner, Math. Programming 66 (1994) 181–199; E. Agrell, T. Eriksson, A. Vardy and K. Zeger,
/// IEEE Trans. Inf. Theory 48 (2002) 2201–2214). The lists need not be even.
/// <code>q(d) = 2 gᵀd + dᵀB d,  B = RᵀR,  q = |R d + c|² − |c|²,  Rᵀc = g</code>
/// R is upper triangular; the values listed last are decided first, and the block of R that belongs to them is that of the model with
/// all other values at their best, so that they can be enumerated alone.
/// </summary>
public static class LatticeSearch
{
    private const int MostNodes = 60_000;

    /// <summary>A combination: a choice for each enumerated value, and what the model says it adds.</summary>
    public readonly record struct Point(int[] Choices, double Excess);

    /// <summary>The best combinations of the last values, best first.</summary>
    /// <param name="matrix">B, row-major n × n, lower triangle used; made positive definite by a small ridge.</param>
    /// <param name="gradient">g, half the gradient at the model's centre.</param>
    /// <param name="lists">For each of the last values, the offsets of its choices from the centre, rising.</param>
    /// <param name="count">How many combinations.</param>
    /// <returns>None where the model is not of finite numbers.</returns>
    public static List<Point> Best(ReadOnlySpan<double> matrix, ReadOnlySpan<double> gradient, IReadOnlyList<double[]> lists, int count)
    {
        int n = gradient.Length, m = lists.Count, first = n - m;
        if (!AllFinite(matrix) || !AllFinite(gradient))
        {
            return [];
        }

        double[] r = Factor(matrix, n);
        double[] c = new double[n];
        for (int i = 0; i < n; i++)
        {
            c[i] = gradient[i];
            for (int k = 0; k < i; k++)
            {
                c[i] -= r[(k * n) + i] * c[k];
            }

            c[i] /= r[(i * n) + i];
        }

        var best = new List<Point>(count + 1);
        double[] d = new double[n];
        int[] chosen = new int[m];
        int nodes = 0;
        Descend(m - 1, 0);
        return best;

        void Descend(int level, double sum)
        {
            if (level < 0)
            {
                int at = best.FindIndex(point => point.Excess > sum);
                best.Insert(at < 0 ? best.Count : at, new([.. chosen], sum));
                if (best.Count > count)
                {
                    best.RemoveAt(count);
                }

                return;
            }

            int i = first + level;
            double rest = c[i];
            for (int j = i + 1; j < n; j++)
            {
                rest += r[(i * n) + j] * d[j];
            }

            double diagonal = r[(i * n) + i], centre = -rest / diagonal;
            double[] list = lists[level];
            int above = Array.BinarySearch(list, centre);
            above = above < 0 ? ~above : above;
            int below = above - 1;
            while (below >= 0 || above < list.Length)
            {
                // The nearer neighbour first; once one is too far, all others are.
                bool up = below < 0 || (above < list.Length && list[above] - centre <= centre - list[below]);
                int choice = up ? above++ : below--;
                double miss = diagonal * (list[choice] - centre), total = sum + (miss * miss);
                if (++nodes > MostNodes || (best.Count == count && total >= best[^1].Excess))
                {
                    return;
                }

                d[i] = list[choice];
                chosen[level] = choice;
                Descend(level - 1, total);
            }
        }
    }

    private static bool AllFinite(ReadOnlySpan<double> numbers)
    {
        foreach (double number in numbers)
        {
            if (!double.IsFinite(number))
            {
                return false;
            }
        }

        return true;
    }

    /// <summary>R of B = RᵀR with a ridge of 10⁻⁹ of the largest diagonal entry, more where that is not enough.</summary>
    private static double[] Factor(ReadOnlySpan<double> matrix, int n)
    {
        double largest = 1e-300;
        for (int i = 0; i < n; i++)
        {
            largest = Math.Max(largest, matrix[(i * n) + i]);
        }

        double[] r = new double[n * n];
        for (double ridge = 1e-9 * largest; ; ridge *= 10)
        {
            bool positive = true;
            for (int i = 0; i < n && positive; i++)
            {
                for (int j = i; j < n && positive; j++)
                {
                    double sum = matrix[(j * n) + i] + (i == j ? ridge : 0);
                    for (int k = 0; k < i; k++)
                    {
                        sum -= r[(k * n) + i] * r[(k * n) + j];
                    }

                    positive = i != j || sum > 0;
                    r[(i * n) + j] = i == j ? Math.Sqrt(sum) : sum / r[(i * n) + i];
                }
            }

            if (positive)
            {
                return r;
            }
        }
    }
}
