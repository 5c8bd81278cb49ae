using System.Numerics;
using XoverOpt.Acoustics;

namespace XoverOpt.Search.Tests;

/// <summary>What a drawer states of a receiver's spread is what is measured of a piece.</summary>
public class SpreadReceiverTests
{
    private const double Coupler = 1.26e-6;

    // The whole receiver, spout and all, into the coupler's volume from a stiff source. The spout, left out of the closed form, is worth a thousandth of a dB.
    [Theory]
    [InlineData(1, 1, 1)]
    [InlineData(-2.5, 1, 1)]
    [InlineData(0, 1.08, 1)]
    [InlineData(0, 1, 0.85)]
    [InlineData(1.5, 0.93, 1.1)]
    public void Of_StatedDeviations_AreMeasuredAtTheReference(double db, double resonance, double resistance)
    {
        foreach (StockReceiver stock in new[] { SmallProblem.Low1, SmallProblem.Low3, SmallProblem.Mid1, SmallProblem.High1, SmallProblem.High2 })
        {
            var spread = new SpreadReceiver(stock.Receiver, Air.At());
            Receiver piece = spread.Of(db, resonance, resistance);
            double found = Level(piece, spread.ReferenceHz) - Level(stock.Receiver, spread.ReferenceHz);
            Assert.Equal(db, found, 0.005);
            Assert.Equal(resistance, piece.DcResistance / stock.Receiver.DcResistance, 1e-12);
            Assert.Equal(resonance, Resonance(piece) / Resonance(stock.Receiver), 1e-9);
        }
    }

    [Fact]
    public void Of_StatedSensitivity_IsNearlyMetBelowTheReferenceToo()
    {
        foreach (StockReceiver stock in new[] { SmallProblem.Low1, SmallProblem.Mid1, SmallProblem.High1 })
        {
            Receiver piece = new SpreadReceiver(stock.Receiver, Air.At()).Of(1, 1, 1);
            Assert.InRange(Level(piece, 100) - Level(stock.Receiver, 100), 0.95, 1.25);
        }
    }

    [Fact]
    public void Of_ReceiverThatBackEmfGoverns_TakesItsReferenceLower()
    {
        Receiver strong = SmallProblem.Low1.Receiver with { ForceFactor = 5 };
        var spread = new SpreadReceiver(strong, Air.At());
        Assert.True(spread.ReferenceHz < 500);
        Assert.Equal(1, Level(spread.Of(1, 1, 1), spread.ReferenceHz) - Level(strong, spread.ReferenceHz), 0.005);
    }

    [Fact]
    public void Of_MoreThanAnyMotorGives_IsHeldAtTheMost()
    {
        Receiver nominal = SmallProblem.Low1.Receiver;
        var spread = new SpreadReceiver(nominal, Air.At());
        double most = Level(spread.Of(40, 1, 1), spread.ReferenceHz);
        Assert.True(most > Level(nominal, spread.ReferenceHz) + 2);
        foreach (double factor in new[] { 0.9, 1.1 })
        {
            Receiver held = spread.Of(40, 1, 1);
            Assert.True(Level(held with { ForceFactor = held.ForceFactor * factor }, spread.ReferenceHz) < most);
        }
    }

    private static double Level(Receiver receiver, double hz)
    {
        double omega = 2 * Math.PI * hz;
        TwoPort chain = receiver.Matrix(omega, Air.At());
        Complex load = new(0, omega * Coupler / Air.At().BulkModulus);
        return -20 * Math.Log10(Complex.Abs(chain.A + (chain.B * load)));
    }

    private static double Resonance(Receiver receiver) => Math.Sqrt(
        ((1 / receiver.Compliance) + (receiver.DiaphragmArea * receiver.DiaphragmArea * Air.At().BulkModulus / receiver.RearVolume)) / receiver.Mass);
}
