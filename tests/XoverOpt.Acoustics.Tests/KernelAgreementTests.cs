using System.Numerics;
using XoverOpt.Acoustics.Kernel;

namespace XoverOpt.Acoustics.Tests;

/// <summary>The vectorised evaluation against the equations as they read.</summary>
public class KernelAgreementTests
{
    // Differences are taken relative to Σ|shares| in pressure: where ways cancel, both routes round at the size of the terms, not of
    // their sum.
    [Fact]
    public void Evaluate_RandomBuildsOnTheStandardGrid_AgreesWithThePlainResponse()
    {
        FrequencyGrid grid = FrequencyGrid.Standard(12);
        var workspace = new KernelWorkspace(grid);
        double worst = 0;
        foreach ((Build build, int number) in new RandomEarpieces(20).Take(200).Select((build, number) => (build, number)))
        {
            EarpieceKernel.Evaluate(WaysOf(build, grid), new EarTable(build.Ear, grid), build.Source, workspace, [], []);
            for (int k = 0; k < grid.Count; k++)
            {
                PlainResponse plain = PlainResponse.At(build.Earpiece, build.Ear, build.Source, grid.Omega[k]);
                double size = plain.Shares.Sum(Complex.Abs);
                string at = $" of build {number} at {grid.Hz[k]:G6} Hz";

                Near(plain.DrumPressure, new(workspace.PressureRe[k], workspace.PressureIm[k]), size, "pressure" + at);
                Near(
                    plain.DrumPressure / plain.SocketVoltage,
                    new(workspace.PressurePerVoltRe[k], workspace.PressurePerVoltIm[k]),
                    size / Complex.Abs(plain.SocketVoltage),
                    "pressure per volt" + at);
                var impedance = Complex.Reciprocal(new Complex(workspace.AdmittanceRe[k], workspace.AdmittanceIm[k]));
                Near(plain.SocketImpedance, impedance, Complex.Abs(plain.SocketImpedance), "impedance" + at);
                for (int i = 0; i < plain.Shares.Count; i++)
                {
                    var share = new Complex(workspace.Row(workspace.ShareRe, i)[k], workspace.Row(workspace.ShareIm, i)[k]);
                    Near(plain.Shares[i], share, Complex.Abs(plain.Shares[i]), $"share {i}" + at);
                }
            }
        }

        TestContext.Current.TestOutputHelper?.WriteLine($"Worst difference {worst:G3}.");

        void Near(Complex expected, Complex actual, double size, string what)
        {
            worst = Math.Max(worst, Complex.Abs(actual - expected) / size);
            Agreement.Absolute(expected, actual, 1e-12 * size, what);
        }
    }

    // Lanes never mix: a machine with four numbers a register and one with eight give the same bits.
    [Fact]
    public void Evaluate_OnFourAndOnEightLanes_GivesTheSameBits()
    {
        FrequencyGrid grid = FrequencyGrid.Standard(6);
        KernelWorkspace four = new(grid), eight = new(grid);
        foreach (Build build in new RandomEarpieces(23).Take(20))
        {
            KernelParameter[] parameters = [.. ParametersOf(build.Earpiece).Take(KernelWorkspace.MaxParameters)];
            double[] values = [.. parameters.Select(parameter => Value(build.Earpiece, parameter))];
            KernelWay[] ways = WaysOf(build, grid);
            Kernel.Four.EarpieceLanes.Evaluate(ways, new EarTable(build.Ear, grid), build.Source, four, parameters, values);
            Kernel.Eight.EarpieceLanes.Evaluate(ways, new EarTable(build.Ear, grid), build.Source, eight, parameters, values);

            Assert.Equal(four.PressureRe, eight.PressureRe);
            Assert.Equal(four.ShareIm, eight.ShareIm);
            Assert.Equal(four.AdmittanceIm, eight.AdmittanceIm);
            Assert.Equal(four.PressureTangentRe, eight.PressureTangentRe);
            Assert.Equal(four.CommonTangentIm, eight.CommonTangentIm);
            Assert.Equal(four.OwnTangentRe, eight.OwnTangentRe);
        }
    }

    // The derivative with respect to ln θ, against the sixth-order central difference of the plain response, step 1e-4. In pressure the
    // bound is again relative to Σ|shares|, that is to |p| times how far the ways cancel.
    [Fact]
    public void Evaluate_EveryKindOfParameter_TangentsAreTheSlopesOfThePlainResponse()
    {
        FrequencyGrid grid = FrequencyGrid.Of([20, 90, 400, 1000, 2500, 6000, 13000, 40000]);
        var workspace = new KernelWorkspace(grid);
        var seen = new HashSet<ParameterKind>();
        double worst = 0;
        foreach ((Build build, int number) in new RandomEarpieces(21).Take(200).Select((build, number) => (build, number)))
        {
            KernelParameter[] parameters = [.. ParametersOf(build.Earpiece).Take(KernelWorkspace.MaxParameters)];
            double[] values = [.. parameters.Select(parameter => Value(build.Earpiece, parameter))];
            EarpieceKernel.Evaluate(WaysOf(build, grid), new EarTable(build.Ear, grid), build.Source, workspace, parameters, values);
            EarpieceKernel.AdmittanceTangents(WaysOf(build, grid), workspace, parameters, values, 0, grid.Count);
            for (int q = 0; q < parameters.Length; q++)
            {
                seen.Add(parameters[q].Kind);
                for (int k = 0; k < grid.Count; k++)
                {
                    Check(build, number, parameters[q], values[q], q, k);
                }
            }
        }

        TestContext.Current.TestOutputHelper?.WriteLine($"Worst difference {worst:G3}.");
        Assert.Equal(Enum.GetValues<ParameterKind>().Length - 1, seen.Count); // A free bore has a test of its own.

        void Check(Build build, int number, KernelParameter parameter, double value, int q, int k)
        {
            PlainResponse centre = PlainResponse.At(build.Earpiece, build.Ear, build.Source, grid.Omega[k]);
            Complex[] slopes = Slopes(build, parameter, value, grid.Omega[k], centre);
            double cancelling = centre.Shares.Sum(Complex.Abs) / Complex.Abs(centre.DrumPressure);
            string at = $" of build {number}, {parameter}, at {grid.Hz[k]} Hz";

            Near(slopes[0], At(workspace.PressureTangentRe, workspace.PressureTangentIm), cancelling, "∂ ln p" + at);
            Near(slopes[1].Real, workspace.SensitivityTangent(q, k, build.Source), cancelling, "∂ ln|p/V|" + at);
            Near(slopes[2].Real, workspace.ImpedanceTangent(q, k), 1, "∂ ln|Z|" + at);
            Complex common = At(workspace.CommonTangentRe, workspace.CommonTangentIm), own = At(workspace.OwnTangentRe, workspace.OwnTangentIm);
            for (int i = 0; i < centre.Shares.Count; i++)
            {
                Near(slopes[3 + i], parameter.Way == i ? common + own : common, 1, $"∂ ln share {i}" + at);
            }

            Complex At(double[] re, double[] im) => new(workspace.Row(re, q)[k], workspace.Row(im, q)[k]);
        }

        void Near(Complex expected, Complex actual, double size, string what)
        {
            double scale = size * Math.Max(1, Complex.Abs(expected));
            worst = Math.Max(worst, Complex.Abs(actual - expected) / scale);
            Agreement.Absolute(expected, actual, 1e-7 * scale, what);
        }
    }

    // By the bore, against the sixth-order central difference of the kernel itself at moved bores: the interpolated table has its own slope.
    [Fact]
    public void Evaluate_FreeBore_TangentsAreTheSlopes()
    {
        FrequencyGrid grid = FrequencyGrid.Of([20, 90, 400, 1000, 2500, 6000, 13000, 40000]);
        KernelWorkspace here = new(grid), there = new(grid);
        double worst = 0;
        int tried = 0;
        foreach (Build build in new RandomEarpieces(24).Take(120))
        {
            KernelWay[] ways = WaysOf(build, grid);
            int way = Array.FindIndex(ways, candidate => candidate.Bores.Length > 0);
            if (way < 0)
            {
                continue;
            }

            tried++;
            double bore = ways[way].Bores[^1].Bore;
            ways[way] = ways[way].WithFreeBore(new BoreFamily(0.7 * bore, 1.5 * bore, grid, build.Ear.Air));
            ways[way].Set(ParameterKind.Bore, 0, bore);
            var ear = new EarTable(build.Ear, grid);
            KernelParameter[] parameters = [new(way, ParameterKind.Bore, 0)];
            EarpieceKernel.Evaluate(ways, ear, build.Source, here, parameters, [bore]);
            EarpieceKernel.AdmittanceTangents(ways, here, parameters, [bore], 0, grid.Count);
            const double Step = 1e-4;
            Complex[] whole = new Complex[grid.Count], shares = new Complex[grid.Count], sockets = new Complex[grid.Count];
            foreach ((int offset, double weight) in new[] { (-3, -1.0), (-2, 9.0), (-1, -45.0), (1, 45.0), (2, -9.0), (3, 1.0) })
            {
                ways[way].Set(ParameterKind.Bore, 0, bore * Math.Exp(offset * Step));
                EarpieceKernel.Evaluate(ways, ear, build.Source, there, [], []);
                for (int k = 0; k < grid.Count; k++)
                {
                    double w = weight / (60 * Step);
                    int at = (way * grid.Count) + k;
                    whole[k] += w * Complex.Log(new Complex(there.PressureRe[k], there.PressureIm[k]) / new Complex(here.PressureRe[k], here.PressureIm[k]));
                    shares[k] += w * Complex.Log(new Complex(there.ShareRe[at], there.ShareIm[at]) / new Complex(here.ShareRe[at], here.ShareIm[at]));
                    sockets[k] += w * new Complex(there.AdmittanceRe[k], there.AdmittanceIm[k]);
                }
            }

            for (int k = 0; k < grid.Count; k++)
            {
                double size = ways.Select((_, i) => new Complex(here.Row(here.ShareRe, i)[k], here.Row(here.ShareIm, i)[k])).Sum(Complex.Abs)
                    / Complex.Abs(new Complex(here.PressureRe[k], here.PressureIm[k]));
                Near(whole[k], new(here.PressureTangentRe[k], here.PressureTangentIm[k]), size, "∂ ln p");
                Near(shares[k], new Complex(here.CommonTangentRe[k], here.CommonTangentIm[k]) + new Complex(here.OwnTangentRe[k], here.OwnTangentIm[k]), 1, "∂ ln share");
                Complex admittance = new(here.AdmittanceRe[k], here.AdmittanceIm[k]);
                Near(sockets[k] / admittance, new Complex(here.AdmittanceTangentRe[k], here.AdmittanceTangentIm[k]) / admittance, 1, "∂Y/Y");
            }
        }

        TestContext.Current.TestOutputHelper?.WriteLine($"{tried} builds, worst difference {worst:G3}.");
        Assert.True(tried > 80);

        void Near(Complex expected, Complex actual, double size, string what)
        {
            double scale = size * Math.Max(1, Complex.Abs(expected));
            worst = Math.Max(worst, Complex.Abs(actual - expected) / scale);
            Agreement.Absolute(expected, actual, 1e-7 * scale, what);
        }
    }

    /// <summary>∂/∂ ln θ of ln p, ln(p/V), ln Z and each ln share.</summary>
    private static Complex[] Slopes(Build build, KernelParameter parameter, double value, double omega, PlainResponse centre)
    {
        const double step = 1e-4;
        var slopes = new Complex[3 + centre.Shares.Count];
        foreach ((int offset, double weight) in new[] { (-3, -1.0), (-2, 9.0), (-1, -45.0), (1, 45.0), (2, -9.0), (3, 1.0) })
        {
            Earpiece moved = With(build.Earpiece, parameter, value * Math.Exp(offset * step));
            PlainResponse there = PlainResponse.At(moved, build.Ear, build.Source, omega);
            double w = weight / (60 * step);
            slopes[0] += w * Complex.Log(there.DrumPressure / centre.DrumPressure);
            slopes[1] += w * Complex.Log(there.DrumPressure / there.SocketVoltage / (centre.DrumPressure / centre.SocketVoltage));
            slopes[2] += w * Complex.Log(there.SocketImpedance / centre.SocketImpedance);
            for (int i = 0; i < centre.Shares.Count; i++)
            {
                slopes[3 + i] += w * Complex.Log(there.Shares[i] / centre.Shares[i]);
            }
        }

        return slopes;
    }

    private static KernelWay[] WaysOf(Build build, FrequencyGrid grid) =>
        [.. build.Earpiece.Ways.Select(way => new KernelWay(
            way,
            new ReceiverTable(way.Receiver, grid, build.Ear.Air),
            [.. way.Tube.Select(piece => new BoreTable(piece.Bore, grid, build.Ear.Air))]))];

    private static IEnumerable<KernelParameter> ParametersOf(Earpiece earpiece)
    {
        for (int i = 0; i < earpiece.Ways.Count; i++)
        {
            Way way = earpiece.Ways[i];
            for (int j = 0; j < way.Network.Count; j++)
            {
                NetworkSection section = way.Network[j];
                if (section.Resistance is not null)
                {
                    yield return new(i, ParameterKind.Resistor, j);
                }

                if (section.Capacitance is not null)
                {
                    yield return new(i, ParameterKind.Capacitor, j);
                }

                if (section.Inductance is not null)
                {
                    yield return new(i, ParameterKind.Coil, j);
                }
            }

            if (way.DamperResistance > 0)
            {
                yield return new(i, ParameterKind.Damper, 0);
            }

            for (int j = 0; j < way.Tube.Count; j++)
            {
                yield return new(i, ParameterKind.TubeLength, j);
            }
        }
    }

    private static double Value(Earpiece earpiece, KernelParameter parameter)
    {
        Way way = earpiece.Ways[parameter.Way];
        return parameter.Kind switch
        {
            ParameterKind.Resistor => way.Network[parameter.Index].Resistance!.Value,
            ParameterKind.Capacitor => way.Network[parameter.Index].Capacitance!.Value,
            ParameterKind.Coil => way.Network[parameter.Index].Inductance!.Value,
            ParameterKind.Damper => way.DamperResistance,
            _ => way.Tube[parameter.Index].Length,
        };
    }

    private static Earpiece With(Earpiece earpiece, KernelParameter parameter, double value)
    {
        Way way = earpiece.Ways[parameter.Way];
        Way moved = parameter.Kind switch
        {
            ParameterKind.Resistor => way with { Network = Put(way.Network, section => section with { Resistance = value }) },
            ParameterKind.Capacitor => way with { Network = Put(way.Network, section => section with { Capacitance = value }) },
            ParameterKind.Coil => way with { Network = Put(way.Network, section => section with { Inductance = value }) },
            ParameterKind.Damper => way with { DamperResistance = value },
            _ => way with { Tube = Put(way.Tube, piece => piece with { Length = value }) },
        };
        return new Earpiece([.. earpiece.Ways.Select((other, i) => i == parameter.Way ? moved : other)]);

        T[] Put<T>(IReadOnlyList<T> list, Func<T, T> change) => [.. list.Select((item, i) => i == parameter.Index ? change(item) : item)];
    }
}
