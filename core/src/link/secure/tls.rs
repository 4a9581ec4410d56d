//! TLS between crew mates: version 1.3 only, both sides with a certificate, and no certificate trusted but one that was
//! paired. There are no tickets, no resumption and no early data, so nothing said on one connection can be said again
//! on another.

use super::identity::{Fingerprint, Identity};
use super::pins::Pins;
use std::sync::Arc;
use thiserror::Error;
use tokio::sync::watch;
use tokio_rustls::rustls::client::Resumption;
use tokio_rustls::rustls::client::danger::{HandshakeSignatureValid, ServerCertVerified, ServerCertVerifier};
use tokio_rustls::rustls::crypto::{CryptoProvider, ring, verify_tls13_signature};
use tokio_rustls::rustls::pki_types::{CertificateDer, ServerName, UnixTime};
use tokio_rustls::rustls::server::NoServerSessionStorage;
use tokio_rustls::rustls::server::danger::{ClientCertVerified, ClientCertVerifier};
use tokio_rustls::rustls::version::TLS13;
use tokio_rustls::rustls::{
    CertificateError, ClientConfig, DigitallySignedStruct, DistinguishedName, Error, ServerConfig,
    SignatureScheme,
};

/// What a connection is for: told in the handshake (ALPN, RFC 7301), so that the listener knows whom to let in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Purpose {
    /// A link between two tablets that are paired.
    Link,
    /// Pairing, with anybody who knows the code that is shown.
    Pair,
}

impl Purpose {
    fn protocol(self) -> &'static [u8] {
        match self {
            Self::Link => b"turnwise-link/1",
            Self::Pair => b"turnwise-pair/1",
        }
    }

    /// The purpose that a client hello names.
    pub(super) fn named(mut protocols: impl Iterator<Item = impl AsRef<[u8]>>) -> Option<Self> {
        protocols.find_map(|named| {
            [Self::Link, Self::Pair]
                .into_iter()
                .find(|purpose| purpose.protocol() == named.as_ref())
        })
    }
}

/// Whose certificate is taken.
#[derive(Clone, Debug)]
enum Trust {
    /// One certificate.
    Only(Fingerprint),
    /// Those paired with this device now.
    Pinned(watch::Receiver<Pins>),
    /// Any: what follows inside proves who it is.
    Anybody,
}

/// This device's identity could not be used for TLS.
#[derive(Debug, Error)]
#[error("the key of this device cannot be used: {0}")]
pub struct TlsError(#[from] Error);

impl TlsError {
    /// A stable code.
    pub fn code(&self) -> &'static str {
        "bad_identity"
    }
}

/// TLS as one device speaks it.
pub(super) struct Tls {
    provider: Arc<CryptoProvider>,
    identity: Identity,
    link: Arc<ServerConfig>,
    pair: Arc<ServerConfig>,
}

impl Tls {
    pub(super) fn new(identity: Identity, pins: watch::Receiver<Pins>) -> Result<Self, TlsError> {
        let provider = Arc::new(ring::default_provider());
        let link = server(&provider, &identity, Trust::Pinned(pins), Purpose::Link)?;
        let pair = server(&provider, &identity, Trust::Anybody, Purpose::Pair)?;
        Ok(Self {
            provider,
            identity,
            link,
            pair,
        })
    }

    pub(super) fn fingerprint(&self) -> Fingerprint {
        self.identity.fingerprint()
    }

    /// The side that listens.
    pub(super) fn server(&self, purpose: Purpose) -> Arc<ServerConfig> {
        match purpose {
            Purpose::Link => Arc::clone(&self.link),
            Purpose::Pair => Arc::clone(&self.pair),
        }
    }

    /// The side that connects to link with a paired tablet.
    pub(super) fn to_link(&self, peer: Fingerprint) -> Result<Arc<ClientConfig>, TlsError> {
        self.client(Trust::Only(peer), Purpose::Link)
    }

    /// The side that connects to pair.
    pub(super) fn to_pair(&self) -> Result<Arc<ClientConfig>, TlsError> {
        self.client(Trust::Anybody, Purpose::Pair)
    }

    fn client(&self, trust: Trust, purpose: Purpose) -> Result<Arc<ClientConfig>, TlsError> {
        let (chain, key) = self.identity.for_tls();
        let mut config = ClientConfig::builder_with_provider(Arc::clone(&self.provider))
            .with_protocol_versions(&[&TLS13])?
            .dangerous()
            .with_custom_certificate_verifier(Check::new(trust, &self.provider))
            .with_client_auth_cert(chain, key)?;
        config.alpn_protocols = vec![purpose.protocol().to_vec()];
        config.resumption = Resumption::disabled();
        // A name would only say who is looked for.
        config.enable_sni = false;
        Ok(Arc::new(config))
    }
}

fn server(
    provider: &Arc<CryptoProvider>,
    identity: &Identity,
    trust: Trust,
    purpose: Purpose,
) -> Result<Arc<ServerConfig>, TlsError> {
    let (chain, key) = identity.for_tls();
    let mut config = ServerConfig::builder_with_provider(Arc::clone(provider))
        .with_protocol_versions(&[&TLS13])?
        .with_client_cert_verifier(Check::new(trust, provider))
        .with_single_cert(chain, key)?;
    config.alpn_protocols = vec![purpose.protocol().to_vec()];
    config.session_storage = Arc::new(NoServerSessionStorage {});
    config.send_tls13_tickets = 0;
    config.max_early_data_size = 0;
    Ok(Arc::new(config))
}

/// The name that a certificate is asked for. Nobody looks at it: the certificate's fingerprint decides.
pub(super) fn nobody() -> Result<ServerName<'static>, TlsError> {
    ServerName::try_from("tablet.invalid").map_err(|_| TlsError(Error::General("no name".to_owned())))
}

/// Takes a certificate by its fingerprint, and checks that the other side holds its key.
#[derive(Debug)]
struct Check {
    trust: Trust,
    provider: Arc<CryptoProvider>,
}

impl Check {
    fn new(trust: Trust, provider: &Arc<CryptoProvider>) -> Arc<Self> {
        Arc::new(Self {
            trust,
            provider: Arc::clone(provider),
        })
    }

    fn certificate(&self, certificate: &CertificateDer<'_>) -> Result<(), Error> {
        let shown = Fingerprint::of(certificate);
        let taken = match &self.trust {
            Trust::Only(peer) => *peer == shown,
            Trust::Pinned(pins) => pins.borrow().by_fingerprint(shown).is_some(),
            Trust::Anybody => true,
        };
        if taken {
            Ok(())
        } else {
            Err(CertificateError::ApplicationVerificationFailure.into())
        }
    }

    fn signature(
        &self,
        message: &[u8],
        certificate: &CertificateDer<'_>,
        signed: &DigitallySignedStruct,
    ) -> Result<HandshakeSignatureValid, Error> {
        let algorithms = &self.provider.signature_verification_algorithms;
        verify_tls13_signature(message, certificate, signed, algorithms)
    }
}

fn no_tls_1_2() -> Error {
    Error::General("TLS 1.2 is not spoken".to_owned())
}

impl ServerCertVerifier for Check {
    fn verify_server_cert(
        &self,
        end_entity: &CertificateDer<'_>,
        _intermediates: &[CertificateDer<'_>],
        _server_name: &ServerName<'_>,
        _ocsp_response: &[u8],
        _now: UnixTime,
    ) -> Result<ServerCertVerified, Error> {
        self.certificate(end_entity)
            .map(|()| ServerCertVerified::assertion())
    }

    fn verify_tls12_signature(
        &self,
        _message: &[u8],
        _cert: &CertificateDer<'_>,
        _dss: &DigitallySignedStruct,
    ) -> Result<HandshakeSignatureValid, Error> {
        Err(no_tls_1_2())
    }

    fn verify_tls13_signature(
        &self,
        message: &[u8],
        cert: &CertificateDer<'_>,
        dss: &DigitallySignedStruct,
    ) -> Result<HandshakeSignatureValid, Error> {
        self.signature(message, cert, dss)
    }

    fn supported_verify_schemes(&self) -> Vec<SignatureScheme> {
        vec![SignatureScheme::ED25519]
    }
}

impl ClientCertVerifier for Check {
    fn root_hint_subjects(&self) -> &[DistinguishedName] {
        &[]
    }

    fn verify_client_cert(
        &self,
        end_entity: &CertificateDer<'_>,
        _intermediates: &[CertificateDer<'_>],
        _now: UnixTime,
    ) -> Result<ClientCertVerified, Error> {
        self.certificate(end_entity)
            .map(|()| ClientCertVerified::assertion())
    }

    fn verify_tls12_signature(
        &self,
        _message: &[u8],
        _cert: &CertificateDer<'_>,
        _dss: &DigitallySignedStruct,
    ) -> Result<HandshakeSignatureValid, Error> {
        Err(no_tls_1_2())
    }

    fn verify_tls13_signature(
        &self,
        message: &[u8],
        cert: &CertificateDer<'_>,
        dss: &DigitallySignedStruct,
    ) -> Result<HandshakeSignatureValid, Error> {
        self.signature(message, cert, dss)
    }

    fn supported_verify_schemes(&self) -> Vec<SignatureScheme> {
        vec![SignatureScheme::ED25519]
    }
}

#[cfg(test)]
mod tests {
    use super::super::pins::Pinned;
    use super::*;
    use crate::journal::DeviceId;
    use tokio::io::duplex;
    use tokio_rustls::rustls::CommonState;
    use tokio_rustls::{TlsAcceptor, TlsConnector};
    use uuid::Uuid;

    fn identity(at: u8) -> Identity {
        Identity::make([at; 32]).unwrap()
    }

    /// The device with this identity, and the pins of these others.
    fn tls(at: u8, pinned: &[u8]) -> Tls {
        let pins = pinned.iter().map(|&at| Pinned {
            device: DeviceId(Uuid::from_u128(at.into())),
            fingerprint: identity(at).fingerprint(),
            name: String::new(),
            addresses: Vec::new(),
        });
        let (told, pins) = watch::channel(Pins::of(pins));
        drop(told);
        Tls::new(identity(at), pins).unwrap()
    }

    /// What each side says of the handshake: the side that connects first.
    async fn shake(client: Arc<ClientConfig>, server: Arc<ServerConfig>) -> [Result<(), Error>; 2] {
        let (near, far) = duplex(64 * 1024);
        let why = |error: std::io::Error| {
            let inner = error.get_ref().and_then(|inner| inner.downcast_ref::<Error>());
            inner
                .cloned()
                .unwrap_or_else(|| Error::General(error.to_string()))
        };
        let check = |state: &CommonState| {
            assert_eq!(
                state.protocol_version(),
                Some(tokio_rustls::rustls::ProtocolVersion::TLSv1_3)
            );
        };
        let (client, server) = tokio::join!(
            TlsConnector::from(client).connect(nobody().unwrap(), near),
            TlsAcceptor::from(server).accept(far)
        );
        [
            client.map(|stream| check(stream.get_ref().1)).map_err(why),
            server.map(|stream| check(stream.get_ref().1)).map_err(why),
        ]
    }

    fn stranger() -> Error {
        CertificateError::ApplicationVerificationFailure.into()
    }

    #[tokio::test]
    async fn two_that_are_paired_shake_hands_in_tls_1_3() {
        let (one, two) = (tls(1, &[2]), tls(2, &[1]));
        let client = one.to_link(two.fingerprint()).unwrap();
        assert_eq!(shake(client, two.server(Purpose::Link)).await, [Ok(()), Ok(())]);
    }

    #[tokio::test]
    async fn whoever_is_not_paired_is_refused_by_the_listener() {
        let (one, two) = (tls(1, &[2]), tls(2, &[3]));
        let client = one.to_link(two.fingerprint()).unwrap();
        let [_, server] = shake(client, two.server(Purpose::Link)).await;
        assert_eq!(server, Err(stranger()));
    }

    #[tokio::test]
    async fn another_in_the_place_of_a_crew_mate_is_refused_by_the_one_that_connects() {
        let (one, three) = (tls(1, &[2]), tls(3, &[1]));
        let client = one.to_link(identity(2).fingerprint()).unwrap();
        let [client, _] = shake(client, three.server(Purpose::Link)).await;
        assert_eq!(client, Err(stranger()));
    }

    /// The certificate is public: whoever connects sees it. Only its key makes a handshake.
    #[tokio::test]
    async fn a_crew_mates_certificate_without_its_key_is_refused_on_both_sides() {
        let (one, two) = (tls(1, &[2]), tls(2, &[1]));
        let forged = |certificate: u8, key: u8| {
            let provider = Arc::new(ring::default_provider());
            let mut chain = identity(certificate).for_tls().0;
            chain.truncate(1);
            let key = provider
                .key_provider
                .load_private_key(identity(key).for_tls().1)
                .unwrap();
            let key = Arc::new(tokio_rustls::rustls::sign::CertifiedKey::new(chain, key));
            (
                provider,
                Arc::new(tokio_rustls::rustls::sign::SingleCertAndKey::from(key)),
            )
        };
        let (provider, resolver) = forged(2, 9);
        let server = ServerConfig::builder_with_provider(Arc::clone(&provider))
            .with_protocol_versions(&[&TLS13])
            .unwrap()
            .with_client_cert_verifier(Check::new(Trust::Anybody, &provider))
            .with_cert_resolver(resolver);
        let mut server = server;
        server.alpn_protocols = vec![Purpose::Link.protocol().to_vec()];
        let client = one.to_link(two.fingerprint()).unwrap();
        let [client, _] = shake(client, Arc::new(server)).await;
        assert_eq!(client, Err(CertificateError::BadSignature.into()));

        let (provider, resolver) = forged(1, 9);
        let mut client = ClientConfig::builder_with_provider(Arc::clone(&provider))
            .with_protocol_versions(&[&TLS13])
            .unwrap()
            .dangerous()
            .with_custom_certificate_verifier(Check::new(Trust::Anybody, &provider))
            .with_client_cert_resolver(resolver);
        client.alpn_protocols = vec![Purpose::Link.protocol().to_vec()];
        let [_, server] = shake(Arc::new(client), two.server(Purpose::Link)).await;
        assert_eq!(server, Err(CertificateError::BadSignature.into()));
    }

    #[tokio::test]
    async fn no_ticket_is_given_and_none_is_kept() {
        let (one, two) = (tls(1, &[2]), tls(2, &[1]));
        let server = two.server(Purpose::Link);
        assert_eq!(
            (
                server.send_tls13_tickets,
                server.max_early_data_size,
                server.ticketer.enabled()
            ),
            (0, 0, false)
        );
        let client = one.to_link(two.fingerprint()).unwrap();
        assert!(!client.enable_early_data);
        for _ in 0..2 {
            let (near, far) = duplex(64 * 1024);
            let (client, server) = tokio::join!(
                TlsConnector::from(Arc::clone(&client)).connect(nobody().unwrap(), near),
                TlsAcceptor::from(Arc::clone(&server)).accept(far)
            );
            let kind = |state: &CommonState| state.handshake_kind();
            let full = Some(tokio_rustls::rustls::HandshakeKind::Full);
            assert_eq!(kind(client.unwrap().get_ref().1), full);
            assert_eq!(kind(server.unwrap().get_ref().1), full);
        }
    }
}
