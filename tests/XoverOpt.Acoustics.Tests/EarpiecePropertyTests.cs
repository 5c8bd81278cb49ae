using System.Numerics;
using FsCheck.Xunit;

namespace XoverOpt.Acoustics.Tests;

/// <summary>What holds for every build, whatever its parts; each case draws a build from the seed it is given.</summary>
public class EarpiecePropertyTests
{
    private static readonly double[] Frequencies = [20, 90, 400, 1000, 2500, 6000, 13000];

    // Nothing in an earpiece makes power. Electrical power into the socket is |V|² Re Y, acoustical power into the ear |p|² Re Y_L.
    [Property(MaxTest = 150)]
    public void At_AnyBuild_IsPassive(int seed)
    {
        Build build = new RandomEarpieces(seed).Next();
        foreach (double omega in Frequencies.Select(f => 2 * Math.PI * f))
        {
            PlainResponse response = At(build, build.Earpiece, omega);
            TwoPort load = build.Ear.Matrix(omega);
            double electrical = Math.Pow(Complex.Abs(response.SocketVoltage), 2) * (1 / response.SocketImpedance).Real;
            double acoustical = Math.Pow(Complex.Abs(response.JunctionPressure), 2) * (load.C / load.A).Real;

            Assert.True(response.SocketImpedance.Real >= 0, $"Re Z = {response.SocketImpedance.Real} Ω at {omega} rad/s");
            Assert.True(acoustical >= 0, $"{acoustical} W into the ear at {omega} rad/s");
            Assert.True(acoustical <= electrical * (1 + 1e-9), $"{acoustical} W out of {electrical} W at {omega} rad/s");
        }
    }

    [Property(MaxTest = 150)]
    public void At_EveryPolarityTurned_TurnsThePressureAndNothingElse(int seed)
    {
        Build build = new RandomEarpieces(seed).Next();
        var turned = new Earpiece([.. build.Earpiece.Ways.Select(way =>
            way with { Polarity = way.Polarity == Polarity.Normal ? Polarity.Inverted : Polarity.Normal })]);
        foreach (double omega in Frequencies.Select(f => 2 * Math.PI * f))
        {
            PlainResponse before = At(build, build.Earpiece, omega), after = At(build, turned, omega);

            // Only signs change, so not a digit may.
            Assert.Equal(-before.DrumPressure, after.DrumPressure);
            Assert.Equal(before.SocketImpedance, after.SocketImpedance);
            Assert.Equal(before.SocketVoltage, after.SocketVoltage);
            Assert.Equal(before.ArmatureTravel, after.ArmatureTravel);
            Assert.Equal(before.CoilCurrent, after.CoilCurrent);
            Assert.Equal(before.Shares.Select(share => -share), after.Shares);
        }
    }

    [Property(MaxTest = 150)]
    public void At_WaysInAnotherOrder_GivesTheSameResponse(int seed)
    {
        Build build = new RandomEarpieces(seed).Next();
        var reversed = new Earpiece([.. build.Earpiece.Ways.Reverse()]);
        foreach (double omega in Frequencies.Select(f => 2 * Math.PI * f))
        {
            PlainResponse one = At(build, build.Earpiece, omega), other = At(build, reversed, omega);

            // A sum in another order rounds at the size of its terms.
            double size = one.Shares.Sum(Complex.Abs);
            Agreement.Absolute(one.DrumPressure, other.DrumPressure, 1e-12 * size, "pressure");
            Agreement.Relative(one.SocketImpedance, other.SocketImpedance, 1e-12, "impedance");
            foreach ((Complex share, Complex moved) in one.Shares.Zip(other.Shares.Reverse()))
            {
                Agreement.Relative(share, moved, 1e-12, "share");
            }
        }
    }

    [Property(MaxTest = 150)]
    public void At_AnyBuild_SharesAddUpToThePressure(int seed)
    {
        Build build = new RandomEarpieces(seed).Next();
        foreach (double omega in Frequencies.Select(f => 2 * Math.PI * f))
        {
            PlainResponse response = At(build, build.Earpiece, omega);
            Complex sum = response.Shares.Aggregate(Complex.Zero, (total, share) => total + share);
            Agreement.Absolute(response.DrumPressure, sum, 1e-12 * response.Shares.Sum(Complex.Abs), "sum of shares");
        }
    }

    private static PlainResponse At(Build build, Earpiece earpiece, double omega) => PlainResponse.At(earpiece, build.Ear, build.Source, omega);
}
