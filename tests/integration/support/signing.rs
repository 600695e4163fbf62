//! Somebody who signs with a key of their own.

use super::env::TestEnv;

/// Lets git sign with a key that is made here, under these settings, such as `commit.gpgSign`; what was
/// signed by Mara Okonjo can be verified.
pub fn sign(env: &TestEnv, settings: &[&str]) {
    let key = key(env);
    let made = env.command("ssh-keygen").args(["-q", "-t", "ed25519", "-N", "", "-C", "", "-f", &key]).output();
    assert!(made.expect("ssh-keygen runs").status.success());
    let public = std::fs::read_to_string(format!("{key}.pub")).expect("the public key");
    let signers = format!("{key}.signers");
    std::fs::write(&signers, format!("mara.okonjo@ambleford-quay.example {public}")).expect("written");
    let with_key = [("gpg.format", "ssh"), ("user.signingKey", &key), ("gpg.ssh.allowedSignersFile", &signers)];
    for (setting, value) in with_key.into_iter().chain(settings.iter().map(|setting| (*setting, "true"))) {
        env.git(&["config", setting, value]).fine();
    }
}

/// Where the key is.
pub fn key(env: &TestEnv) -> String {
    env.path("../home/key").display().to_string()
}
