using System.Numerics;
using MathNet.Numerics.LinearAlgebra;

namespace XoverOpt.Acoustics.Tests;

/// <summary>Unlike receivers on one spout, against what the circuit itself says.</summary>
public class JoinedTwoPortTests
{
    [Fact]
    public void Joined_AlikeParts_AreWhatAlikeSays()
    {
        foreach (Build build in new RandomEarpieces(11).Take(50))
        {
            Way way = build.Earpiece.Ways[0];
            foreach (double hz in new[] { 20.0, 500, 3000, 15000 })
            {
                TwoPort one = way.Receiver.Matrix(2 * Math.PI * hz, build.Ear.Air);
                TwoPort alike = one.Alike(way.Count, way.Wiring), joined = TwoPort.Joined(Enumerable.Repeat(one, way.Count), way.Wiring);
                Near(alike.A, joined.A);
                Near(alike.B, joined.B);
                Near(alike.C, joined.C);
                Near(alike.D, joined.D);
            }
        }
    }

    // The equations of each receiver, of leads in series or in parallel and of the common spout, solved as they stand.
    [Theory]
    [InlineData(Wiring.Parallel)]
    [InlineData(Wiring.Series)]
    public void Joined_UnlikeParts_SolveTheirCircuit(Wiring wiring)
    {
        var builds = new RandomEarpieces(12);
        for (int trial = 0; trial < 30; trial++)
        {
            Build first = builds.Next(), second = builds.Next();
            double omega = 2 * Math.PI * 1000;
            TwoPort a = first.Earpiece.Ways[0].Receiver.Matrix(omega, first.Ear.Air), b = second.Earpiece.Ways[0].Receiver.Matrix(omega, first.Ear.Air);
            TwoPort load = first.Ear.Matrix(omega);
            Complex admittance = load.C / load.A, scale = 1e9;

            // Unknown: V_a, I_a, V_b, I_b, p/1e9... in the order V_a, I_a, U_a, V_b, I_b, U_b, p. One volt on the leads; flows in 1e-9 m³/s.
            var matrix = Matrix<Complex>.Build.Dense(7, 7);
            var right = MathNet.Numerics.LinearAlgebra.Vector<Complex>.Build.Dense(7);
            void Row(int row, params (int Column, Complex Value)[] entries)
            {
                foreach ((int column, Complex value) in entries)
                {
                    matrix[row, column] = value;
                }
            }

            Row(0, (0, 1), (6, -a.A), (2, -a.B / scale));
            Row(1, (1, 1), (6, -a.C), (2, -a.D / scale));
            Row(2, (3, 1), (6, -b.A), (5, -b.B / scale));
            Row(3, (4, 1), (6, -b.C), (5, -b.D / scale));
            Row(4, (2, 1), (5, 1), (6, -admittance * scale));
            if (wiring == Wiring.Parallel)
            {
                Row(5, (0, 1), (3, -1));
                Row(6, (0, 1));
            }
            else
            {
                Row(5, (1, 1), (4, -1));
                Row(6, (0, 1), (3, 1));
            }

            right[6] = 1;
            Complex pressure = matrix.Solve(right)[6];
            TwoPort joined = TwoPort.Joined([a, b], wiring);
            Near(pressure, 1 / (joined.A + (joined.B * admittance)), 1e-8);
            Near(-1, joined.Determinant, 1e-6);
        }
    }

    private static void Near(Complex expected, Complex actual, double tolerance = 1e-10) =>
        Assert.True((expected - actual).Magnitude <= tolerance * expected.Magnitude, $"{expected} is wanted, {actual} found");
}
