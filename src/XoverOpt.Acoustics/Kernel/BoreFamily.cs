using System.Numerics;

namespace XoverOpt.Acoustics.Kernel;

/// <summary>
/// Propagation in any bore between two, for searches that leave the bore free. Γ and Z_c·S (which vary little with the bore: only the
/// walls' part does) are tabulated with their slopes on bores even on a log scale and joined by cubics in ln bore that share value and
/// slope at each node (Hermite), so that a node gives the exact table and the derivative has no steps.
/// </summary>
public sealed class BoreFamily
{
    private const int Nodes = 24;
    private readonly double _low;
    private readonly double _step;

    // Γ, its slope, Z_c S and its slope by ln bore, times the step.
    private readonly Planes[] _nodes;

    /// <summary>Tabulates the bores between two, m.</summary>
    /// <exception cref="ArgumentException">The bores do not rise.</exception>
    public BoreFamily(double smallest, double largest, FrequencyGrid grid, Air air)
    {
        if (!(smallest > 0 && largest > smallest))
        {
            throw new ArgumentException("The bores must be above 0 and differ.", nameof(largest));
        }

        Grid = grid;
        Smallest = smallest;
        Largest = largest;
        _low = Math.Log(smallest);
        _step = (Math.Log(largest) - _low) / (Nodes - 1);
        _nodes = [.. Enumerable.Range(0, Nodes).Select(node => Node(_low + (node * _step), grid, air))];
    }

    /// <summary>Smallest bore, m.</summary>
    public double Smallest { get; }

    /// <summary>Largest bore, m.</summary>
    public double Largest { get; }

    internal FrequencyGrid Grid { get; }

    /// <summary>
    /// Fills the ten planes of a <see cref="BoreTable"/> for a bore, and ∂Γ/∂bore and ∂ln Z_c/∂bore into <paramref name="slopes"/>.
    /// </summary>
    internal void Fill(double bore, Planes table, Planes slopes)
    {
        double place = Math.Clamp((Math.Log(bore) - _low) / _step, 0, Nodes - 1);
        int node = Math.Min((int)place, Nodes - 2);
        double t = place - node;
        double area = Math.PI * bore * bore / 4;
        if (LaneWidth.IsEight(Grid.Count))
        {
            Eight.BoreLanes.Fill(_nodes[node], _nodes[node + 1], t, 1 / (_step * bore), area, bore, table, slopes);
        }
        else
        {
            Four.BoreLanes.Fill(_nodes[node], _nodes[node + 1], t, 1 / (_step * bore), area, bore, table, slopes);
        }
    }

    private Planes Node(double lnBore, FrequencyGrid grid, Air air)
    {
        // Slopes by the sixth-order central difference of the exact form; good to about 1e-12 at this spacing.
        const double Spacing = 3e-3;
        var planes = new Planes(4, grid.Count);
        for (int k = 0; k < grid.Count; k++)
        {
            (Complex Gamma, Complex Normal) At(double shift)
            {
                double bore = Math.Exp(lnBore + shift);
                (Complex gamma, Complex zc) = SoundTube.Line(grid.Omega[k], bore, air);
                return (gamma, zc * (Math.PI * bore * bore / 4));
            }

            (Complex gamma, Complex normal) = At(0);
            Complex gammaSlope = 0, normalSlope = 0;
            foreach ((int offset, double weight) in new[] { (-3, -1.0), (-2, 9.0), (-1, -45.0), (1, 45.0), (2, -9.0), (3, 1.0) })
            {
                (Complex g, Complex z) = At(offset * Spacing);
                gammaSlope += weight * g / (60 * Spacing);
                normalSlope += weight * z / (60 * Spacing);
            }

            planes.Set(0, k, gamma);
            planes.Set(1, k, gammaSlope * _step);
            planes.Set(2, k, normal);
            planes.Set(3, k, normalSlope * _step);
        }

        return planes;
    }
}
